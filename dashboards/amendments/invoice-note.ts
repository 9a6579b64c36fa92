import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import { type Row, textOf } from '../rows.ts'
import { openDialog } from './dialog.ts'
import { option, signedForm } from './sign.ts'

/** What was agreed about an invoice line: a button in its row. */
export function invoiceNote(row: Row, context: Context): Child {
  const [invoice, line, contract] = ['invoice', 'line', 'contract'].map((name) => textOf(row[name]))
  if (!invoice || !line) return null
  return h(
    'button',
    {
      type: 'button',
      class: 'plain',
      'aria-label': `Note on invoice ${invoice} line ${line}`,
      onclick: () => note(contract!, invoice, line, context),
    },
    'Note',
  )
}

function note(contract: string, invoice: string, line: string, context: Context): void {
  openDialog(`Invoice ${invoice}, line ${line}`, (close) =>
    signedForm({
      title: 'Note',
      submit: 'Record the note',
      fields: [
        h(
          'label',
          {},
          'State',
          h('select', { name: 'state' }, option('agreed'), option('disputed'), option('credited')),
        ),
      ],
      send: (data, reason, by) =>
        context.api.amend(
          'invoice-note',
          { contract, invoice, line, state: String(data.get('state')) },
          reason,
          by,
        ),
      done: close,
    }),
  )
}
