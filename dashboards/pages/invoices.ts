import { invoiceNote } from '../amendments/invoice-note.ts'
import { byFinding, type InvoiceFindingRow, invoiceWaterfall } from '../charts/invoice-waterfall.ts'
import { plural } from '../charts/words.ts'
import type { Context } from '../context.ts'
import { type Child, h } from '../h.ts'
import type { Page } from '../page.ts'
import { evidenceLink } from '../parts/cells.ts'
import { chartFigure } from '../parts/figure.ts'
import { ledger } from '../parts/ledger.ts'
import { reportLinks, reportParams } from '../parts/report-links.ts'
import { empty } from '../parts/states.ts'
import { table } from '../parts/table.ts'
import { numberOf, type Row, textOf } from '../rows.ts'
import { money } from '../units.ts'
import { addMoney } from './money.ts'

interface TotalRow {
  contract: string
  currency: string
  invoices: number
  lines: number
  billed: string | null
  supported: string | null
  in_dispute: string | null
  under_billed: string | null
  unbilled: string | null
}
interface FindingRow extends InvoiceFindingRow {
  contract: string
  currency: string | null
}

const none = (): HTMLElement =>
  empty('No invoice is on record.', 'Drop in invoice lines with their contract and its rates.')
const columns = [
  'invoice',
  'line',
  'aircraft',
  'item',
  'finding',
  'billed_quantity',
  'supported_quantity',
  'billed_amount',
  'supported_amount',
  'difference_amount',
]
const discussed = [
  'invoice',
  'line',
  'aircraft',
  'item',
  'finding',
  'message',
  'billed_amount',
  'supported_amount',
  'difference_amount',
  'note',
]

export const invoices: Page = {
  name: 'invoices',
  title: 'Invoices',
  sections: [
    {
      question: 'How much of what is billed rests on the record?',
      needs: ['invoice-findings', 'invoice-totals'],
      async answer(context) {
        const [lines, totals] = await Promise.all([
          context.query<FindingRow>('invoice-findings'),
          context.query<TotalRow>('invoice-totals'),
        ])
        if (!totals.length) return none()
        // Currencies are not to be added: each has its own summary.
        const summaries = [...new Set(totals.map((row) => row.currency))].map((currency) => {
          const own = totals.filter((row) => row.currency === currency)
          const sum = (pick: (row: TotalRow) => string | null): string => money(addMoney(own.map(pick)))
          const invoices = own.reduce((count, row) => count + row.invoices, 0)
          const ofCurrency = lines.filter((row) => row.currency === currency || row.currency === null)
          return [
            ledger([
              {
                label: 'Billed',
                value: sum((row) => row.billed),
                unit: currency,
                note: plural(invoices, 'invoice'),
              },
              { label: 'Supported', value: sum((row) => row.supported), unit: currency },
              {
                label: 'In dispute',
                value: sum((row) => row.in_dispute),
                unit: currency,
                note: 'billed above the record, line by line',
              },
              {
                label: 'Billed too low',
                value: sum((row) => row.under_billed),
                unit: currency,
                note: 'never netted against the dispute',
              },
              {
                label: 'Never billed',
                value: sum((row) => row.unbilled),
                unit: currency,
                note: 'work on record, shown apart',
              },
            ]),
            chartFigure(invoiceWaterfall, ofCurrency, context, byFinding(ofCurrency)),
          ]
        })
        return [summaries, reportLinks('contract', reportParams(context))]
      },
    },
    {
      question: 'Which lines are worth talking about first?',
      needs: ['invoice-findings'],
      async answer(context) {
        const rows = await context.query<FindingRow>('invoice-findings')
        const sorted = rows
          .filter((row) => row.finding !== 'ok' && row.finding !== 'unbilled')
          .sort(
            (a, b) =>
              Math.abs(numberOf(b.difference_amount) ?? 0) - Math.abs(numberOf(a.difference_amount) ?? 0),
          )
        if (!sorted.length) return rows.length ? empty('Every line rests on the record.') : none()
        return table(
          sorted,
          {
            caption: 'Lines to discuss, sorted by money',
            name: 'invoice-findings',
            query: 'invoice-findings',
            columns: discussed,
            cells: { invoice: (row) => lineLink(row, context), note: (row) => noteCell(row, context) },
          },
          context,
        )
      },
    },
    {
      question: 'What was done and never billed?',
      needs: ['invoice-findings'],
      async answer(context) {
        const rows = (await context.query<FindingRow>('invoice-findings')).filter(
          (row) => row.finding === 'unbilled',
        )
        return rows.length
          ? table(
              rows,
              {
                caption: 'Work on record without an invoice line',
                name: 'unbilled',
                columns: [
                  'contract',
                  'item',
                  'aircraft',
                  'from_on',
                  'ticket',
                  'supported_quantity',
                  'supported_amount',
                ],
                limit: 15,
              },
              context,
            )
          : empty('Nothing on record is unbilled.')
      },
    },
    {
      question: 'How does each invoice stand?',
      needs: ['invoice-summary'],
      async answer(context) {
        const rows = await context.query<{ invoice: string }>('invoice-summary')
        return rows.length
          ? table(
              rows.map((row) => ({ ...row, statement: row.invoice })),
              {
                caption: 'Invoices',
                name: 'invoice-summary',
                query: 'invoice-summary',
                columns: [
                  'invoice',
                  'contract',
                  'lines',
                  'questioned',
                  'billed',
                  'supported',
                  'in_dispute',
                  'under_billed',
                  'currency',
                  'statement',
                ],
                cells: { statement: (row) => statementLink(row, context) },
              },
              context,
            )
          : none()
      },
    },
    {
      question: 'Which lines are in order?',
      needs: ['invoice-findings'],
      async answer(context) {
        const rows = (await context.query<FindingRow>('invoice-findings')).filter(
          (row) => row.finding === 'ok',
        )
        return rows.length
          ? h(
              'details',
              {},
              h('summary', {}, `${rows.length} lines rest on the record as billed`),
              table(
                rows,
                {
                  caption: 'Lines in order',
                  name: 'invoice-lines-ok',
                  columns,
                  limit: 20,
                  cells: { invoice: (row) => lineLink(row, context) },
                },
                context,
              ),
            )
          : empty('No line is in order.')
      },
    },
  ],
}

/** Where the line stands, as somebody noted it, and the way to note it. */
function noteCell(row: Row, context: Context): Child {
  const state = textOf(row.note_state)
  return state
    ? [h('span', { class: 'state' }, `${state} `), invoiceNote(row, context)]
    : invoiceNote(row, context)
}

/** The printed statement of one invoice. */
function statementLink(row: Row, context: Context): HTMLElement {
  const { units, zone } = context.address
  const query = new URLSearchParams({
    format: 'html',
    invoice: textOf(row.invoice),
    contract: textOf(row.contract),
    units,
    zone,
  })
  return h(
    'a',
    {
      href: `api/reports/statement?${query}`,
      target: '_blank',
      rel: 'noopener',
      'aria-label': `Statement on invoice ${textOf(row.invoice)}`,
    },
    'Statement',
  )
}

function lineLink(row: Row, context: Parameters<typeof evidenceLink>[0]): HTMLElement {
  const id = [row.contract, row.invoice, row.line].map(textOf).join('/')
  return evidenceLink(context, 'invoice-line', id, textOf(row.invoice))
}
