import { invoiceNote } from '../amendments/invoice-note.ts'
import { byFinding, type InvoiceFindingRow, invoiceWaterfall } from '../charts/invoice-waterfall.ts'
import { h } from '../h.ts'
import type { Page } from '../page.ts'
import { evidenceLink } from '../parts/cells.ts'
import { chartFigure } from '../parts/figure.ts'
import { ledger } from '../parts/ledger.ts'
import { empty } from '../parts/states.ts'
import { table } from '../parts/table.ts'
import { numberOf, type Row, textOf } from '../rows.ts'
import { money } from '../units.ts'
import { addMoney } from './money.ts'

interface SummaryRow {
  invoice: string
  billed: string | null
  supported: string | null
  difference: string | null
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

export const invoices: Page = {
  name: 'invoices',
  title: 'Invoices',
  sections: [
    {
      question: 'How much of what is billed rests on the record?',
      needs: ['invoice-findings', 'invoice-summary'],
      async answer(context) {
        const [lines, summary] = await Promise.all([
          context.query<InvoiceFindingRow>('invoice-findings'),
          context.query<SummaryRow>('invoice-summary'),
        ])
        if (!lines.length) return none()
        const unbilled = lines.filter((row) => row.finding === 'unbilled')
        const over = lines.filter(
          (row) => row.finding !== 'unbilled' && (numberOf(row.difference_amount) ?? 0) > 0,
        )
        return [
          ledger([
            {
              label: 'Billed',
              value: money(addMoney(summary.map((row) => row.billed))),
              note: `${summary.length} invoices`,
            },
            { label: 'Supported', value: money(addMoney(summary.map((row) => row.supported))) },
            {
              label: 'In dispute',
              value: money(addMoney(over.map((row) => row.difference_amount))),
              note: `${over.length} lines`,
            },
            {
              label: 'Never billed',
              value: money(addMoney(unbilled.map((row) => row.supported_amount))),
              note: `${unbilled.length} items, shown apart`,
            },
          ]),
          chartFigure(invoiceWaterfall, lines, context, byFinding(lines)),
        ]
      },
    },
    {
      question: 'Which lines are worth talking about first?',
      needs: ['invoice-findings'],
      async answer(context) {
        const rows = await context.query<InvoiceFindingRow & { contract: string }>('invoice-findings')
        const sorted = rows
          .filter((row) => row.finding !== 'ok' && row.finding !== 'unbilled')
          .sort(
            (a, b) =>
              Math.abs(numberOf(b.difference_amount) ?? 0) - Math.abs(numberOf(a.difference_amount) ?? 0),
          )
        if (!sorted.length) return rows.length ? empty('Every line rests on the record.') : none()
        const noted = rows[0] && 'state' in rows[0] ? ['state'] : []
        return table(
          sorted,
          {
            caption: 'Lines to discuss, sorted by money',
            name: 'invoice-findings',
            query: 'invoice-findings',
            columns: [...columns, ...noted, 'note'],
            cells: { invoice: (row) => lineLink(row, context), note: (row) => invoiceNote(row, context) },
          },
          context,
        )
      },
    },
    {
      question: 'What was done and never billed?',
      needs: ['invoice-findings'],
      async answer(context) {
        const rows = (await context.query<InvoiceFindingRow>('invoice-findings')).filter(
          (row) => row.finding === 'unbilled',
        )
        return rows.length
          ? table(
              rows,
              {
                caption: 'Work on record without an invoice line',
                name: 'unbilled',
                columns: ['contract', 'item', 'aircraft', 'supported_quantity', 'supported_amount'],
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
        const rows = await context.query<object>('invoice-summary')
        return rows.length
          ? table(
              rows,
              {
                caption: 'Invoices',
                name: 'invoice-summary',
                query: 'invoice-summary',
                columns: ['invoice', 'contract', 'billed', 'supported', 'difference'],
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
        const rows = (await context.query<InvoiceFindingRow>('invoice-findings')).filter(
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

function lineLink(row: Row, context: Parameters<typeof evidenceLink>[0]): HTMLElement {
  const id = [row.contract, row.invoice, row.line].map(textOf).join('/')
  return evidenceLink(context, 'invoice-line', id, textOf(row.invoice))
}
