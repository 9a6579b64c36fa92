import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import { type Row, textOf } from '../rows.ts'
import { option } from './sign.ts'
import { signedDialog } from './signed-dialog.ts'

interface Line {
  contract: string
  invoice: string
  line: string
}

/**
 * What was agreed about an invoice line: a button in its row.
 * @param place begins the identifier where a page may hold the button twice.
 */
export function invoiceNote(row: Row, context: Context, place = ''): Child {
  const [invoice, line, contract] = ['invoice', 'line', 'contract'].map((name) => textOf(row[name]))
  if (!invoice || !line) return null
  return h(
    'button',
    {
      type: 'button',
      class: 'plain',
      id: `${place}note-${contract}-${invoice}-${line}`.replace(/[^\w-]/g, '_'),
      'aria-label': `Note on invoice ${invoice} line ${line}`,
      onclick: () => noteOn(context, { contract: contract!, invoice, line }),
    },
    'Note',
  )
}

/** A note on a line that is named, or that the reader names. */
export function noteOn(context: Context, known: Line | null = null): void {
  const field = (name: keyof Line, label: string): Child =>
    known
      ? null
      : h('label', {}, label, h('input', { name, required: true, maxlength: 200, autocomplete: 'off' }))
  signedDialog(
    {
      title: known ? `Invoice ${known.invoice}, line ${known.line}` : 'Note on an invoice line',
      legend: 'Note',
      submit: 'Record the note',
      fields: [
        field('contract', 'Contract'),
        field('invoice', 'Invoice'),
        field('line', 'Line'),
        h(
          'label',
          {},
          'State',
          h(
            'select',
            { name: 'state', required: true },
            option('', 'choose one'),
            option('agreed'),
            option('disputed'),
            option('credited'),
          ),
        ),
      ],
      action: 'invoice-note',
      payload: (data) => ({
        ...(known ?? {
          contract: String(data.get('contract')).trim(),
          invoice: String(data.get('invoice')).trim(),
          line: String(data.get('line')).trim(),
        }),
        state: String(data.get('state')),
      }),
    },
    context,
  )
}
