import { biasIntervals } from '../../dashboards/charts/bias-intervals.ts'
import { type InvoiceFindingRow, invoiceWaterfall } from '../../dashboards/charts/invoice-waterfall.ts'
import { money } from '../../dashboards/units.ts'
import type { ResultRow } from '../catalogue/index.ts'
import { type Answer, type Asking, sumMoney, tableOf, tally } from './asking.ts'
import { type Block, type ReportContent, type Section, text } from './block.ts'
import { chartOf } from './chart.ts'
import { definitions } from './definitions.ts'

/** What contract staff discuss with the other party: each line that the records do not bear out, sorted by money. */
export async function contractReport(asking: Asking, subtitle: string): Promise<ReportContent> {
  const { summary, section } = await invoices(asking)
  return {
    title: 'Contract report',
    subtitle,
    summary,
    cautions: [
      'A finding is a question to the other party, not a verdict: the contract’s own terms and both parties’ records decide.',
    ],
    isWide: true,
    sections: [
      section,
      await lines(asking),
      await meters(asking),
      definitions(
        'Supported',
        'In dispute',
        'Money',
        'Meter bias',
        'Flight hours of a fire or base',
        'Canonical record',
      ),
    ],
    questions: [...asking.questions.values()],
  }
}

async function invoices(asking: Asking): Promise<{ summary: string; section: Section }> {
  let summary = 'No invoice is on record.'
  const blocks = await asking.blocks(
    'invoice-summary',
    (answer) => {
      const groups = byCurrency(answer.rows)
      summary = groups.map(([currency, rows]) => summaryOf(currency, rows)).join(' ')
      return groups.map(([currency, rows]) =>
        tableOf(
          { ...answer, rows },
          groups.length > 1 ? `Invoices in ${currency}` : 'Invoices',
          ['invoice', 'contract', 'billed', 'supported', 'difference', 'in_dispute', 'under_billed'],
          {
            name: groups.length > 1 ? `invoice-summary ${currency}` : 'invoice-summary',
            total: {
              invoice: 'all',
              billed: sumMoney(rows, 'billed'),
              supported: sumMoney(rows, 'supported'),
              difference: sumMoney(rows, 'difference'),
              in_dispute: sumMoney(rows, 'in_dispute'),
              under_billed: sumMoney(rows, 'under_billed'),
            },
          },
        ),
      )
    },
    { nothing: 'No invoice is on record.' },
  )
  return { summary, section: { title: 'Invoices', blocks } }
}

function summaryOf(currency: string, rows: readonly ResultRow[]): string {
  const unit = currency === '–' ? '' : ` ${currency}`
  const sum = (name: string) => `${money(sumMoney(rows, name))}${unit}`
  return `${sum('billed')} were billed on ${rows.length} ${rows.length === 1 ? 'invoice' : 'invoices'}; ${sum('supported')} are supported by the records, a difference of ${sum('difference')}.`
}

/** Rows by the currency of their contract: amounts of different currencies are never added. */
function byCurrency(rows: readonly ResultRow[]): [string, ResultRow[]][] {
  const groups = new Map<string, ResultRow[]>()
  for (const row of rows) {
    const currency = String(row.currency ?? '–')
    groups.set(currency, [...(groups.get(currency) ?? []), row])
  }
  return [...groups].sort(([a], [b]) => (a < b ? -1 : 1))
}

async function lines(asking: Asking): Promise<Section> {
  return {
    title: 'Lines to discuss',
    blocks: await asking.blocks(
      'invoice-findings',
      (answer) => {
        const columns = [
          'invoice',
          'line',
          'contract',
          'item',
          'aircraft',
          'finding',
          'billed_quantity',
          'supported_quantity',
          'billed_amount',
          'supported_amount',
          'difference_amount',
          'message',
          'note',
        ]
        const open = answer.rows
          .filter((row) => row.finding !== 'ok' && row.finding !== 'unbilled')
          .sort(byMoney)
        const unbilled = answer.rows.filter((row) => row.finding === 'unbilled')
        const blocks: Block[] = [
          ...byCurrency(answer.rows).flatMap(([currency, rows], _, all): Block[] => [
            chartOf(invoiceWaterfall, rows as unknown as InvoiceFindingRow[], asking.look),
            kinds(rows, all.length > 1 ? ` in ${currency}` : ''),
          ]),
          tableOf(
            { ...answer, columns: [...answer.columns, noteColumn], rows: open.map(withNote) },
            'Lines that the records do not bear out, by money',
            columns.filter((name) => name !== 'contract'),
            { name: 'lines to discuss' },
          ),
          tableOf(
            answer,
            'All lines',
            [
              ...columns,
              'from_on',
              'to_on',
              'ticket',
              'fluid',
              'evidence',
              'note_state',
              'note_by',
              'note_reason',
            ],
            { name: 'invoice-findings', isOffPaper: true },
          ),
        ]
        if (unbilled.length > 0) {
          blocks.push(
            tableOf(
              { ...answer, rows: unbilled },
              'Work on record that was never billed',
              ['contract', 'item', 'aircraft', 'supported_quantity', 'supported_amount'],
              { name: 'unbilled' },
            ),
            text(
              'Under-billing and unbilled work are shown apart and are not netted against amounts in dispute.',
            ),
          )
        }
        return blocks
      },
      { nothing: 'No invoice line is on record.' },
    ),
  }
}

const noteColumn = { name: 'note', kind: 'text', about: 'what was noted' } as Answer['columns'][number]

function withNote(row: ResultRow): ResultRow {
  return {
    ...row,
    note: row.note_state ? `${row.note_state}: ${row.note_reason} (${row.note_by})` : null,
  }
}

function byMoney(a: ResultRow, b: ResultRow): number {
  return Math.abs(Number(b.difference_amount ?? 0)) - Math.abs(Number(a.difference_amount ?? 0))
}

function kinds(rows: readonly ResultRow[], ending: string): Block {
  return {
    is: 'table',
    name: `findings by kind${ending}`,
    caption: `Findings, by kind${ending}`,
    columns: [
      { name: 'finding', kind: 'text', about: 'kind of finding' },
      { name: 'lines', kind: 'integer', about: 'lines with it' },
      { name: 'difference_amount', kind: 'money', about: 'billed less supported' },
    ],
    rows: tally(rows, 'finding').map(({ values, count }) => ({
      finding: values[0]!,
      lines: count,
      difference_amount: sumMoney(
        rows.filter((row) => row.finding === values[0]),
        'difference_amount',
      ),
    })),
  }
}

async function meters(asking: Asking): Promise<Section> {
  const chart = biasIntervals(
    'meter-bias',
    'base',
    'pairs',
    'Bias of each base’s meter against the fleet’s gauges, with 95 % interval',
  )
  return {
    title: 'Meters',
    blocks: await asking.blocks(
      'meter-bias',
      (answer) => [
        chartOf(
          chart,
          answer.rows.map((row) => ({
            label: String(row.base),
            count: Number(row.pairs),
            bias_pct: row.bias_pct as number | null,
            low_pct: row.low_pct as number | null,
            high_pct: row.high_pct as number | null,
          })),
          asking.look,
        ),
        tableOf(answer, 'Meter bias', ['base', 'pairs', 'bias_pct', 'low_pct', 'high_pct', 'worth']),
      ],
      { nothing: 'No load was seen by both a meter and a gauge.' },
    ),
  }
}
