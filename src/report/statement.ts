import { type InvoiceFindingRow, invoiceWaterfall } from '../../dashboards/charts/invoice-waterfall.ts'
import { plural } from '../../dashboards/charts/words.ts'
import { dayText } from '../../dashboards/times.ts'
import { money } from '../../dashboards/units.ts'
import type { ResultRow } from '../catalogue/index.ts'
import { type Answer, type Asking, sumMoney } from './asking.ts'
import { absent, type Block, type ReportContent, type Section, type TableColumn, text } from './block.ts'
import { chartOf } from './chart.ts'
import { definitions } from './definitions.ts'
import { evidenceText } from './evidence-text.ts'

const column = (name: string, kind: TableColumn['kind'] = 'text'): TableColumn => ({ name, kind, about: '' })

const lineColumns: TableColumn[] = [
  column('line'),
  column('item'),
  column('aircraft'),
  column('days'),
  column('ticket'),
  column('billed_quantity', 'number'),
  column('billed_price', 'money'),
  column('billed_amount', 'money'),
  column('supported_quantity', 'number'),
  column('supported_amount', 'money'),
  column('difference_amount', 'money'),
  column('finding'),
  column('evidence'),
]

/**
 * A statement for each invoice, to lay before the other party: every line with what was billed, what the records bear
 * out, the evidence, the finding and what was noted of it. Each invoice begins a page.
 */
export async function statementReport(asking: Asking, subtitle: string): Promise<ReportContent> {
  const summaries = await asking.ask('invoice-summary')
  const findings = await asking.ask('invoice-findings')
  const invoices = summaries?.rows ?? []
  const sections = invoices.map((invoice) => statementOf(invoice, findings!, asking))
  const [only] = invoices
  return {
    title: invoices.length === 1 ? `Statement on invoice ${only!.invoice}` : 'Statements on invoices',
    subtitle: invoices.length === 1 ? `Contract ${only!.contract}, ${daysOf(only!)}` : subtitle,
    summary: summaryOf(invoices),
    isWide: true,
    cautions: [
      'A finding is a question to the other party, not a verdict: the contract’s own terms and both parties’ records decide.',
    ],
    sections: [
      ...(sections.length > 0
        ? sections.map((section, index) => ({ ...section, startsPage: index > 0 }))
        : [{ title: 'Invoices', blocks: [absent('No such invoice is on record; check its number.')] }]),
      definitions('Supported', 'In dispute', 'Money', 'Flight hours of a fire or base', 'Canonical record'),
    ],
    questions: [...asking.questions.values()],
  }
}

function summaryOf(invoices: readonly ResultRow[]): string {
  if (invoices.length === 0) return 'No invoice is on record for this selection.'
  if (invoices.length > 1) return `${plural(invoices.length, 'invoice')}, each on pages of its own.`
  const [invoice] = invoices
  const amount = (name: string): string => `${money(invoice![name] as string)} ${invoice!.currency}`
  return `${amount('billed')} are billed; ${amount('supported')} are supported by the records. ${plural(Number(invoice!.questioned), 'line')} of ${invoice!.lines} ${Number(invoice!.questioned) === 1 ? 'raises' : 'raise'} a question.`
}

function daysOf(row: ResultRow): string {
  const [first, last] = [dayText(row.first_on as string, true), dayText(row.last_on as string, true)]
  return first === last ? first : `${first} to ${last}`
}

function statementOf(invoice: ResultRow, findings: Answer, asking: Asking): Section {
  const own = findings.rows.filter(
    (row) => row.invoice === invoice.invoice && row.contract === invoice.contract,
  )
  const lines = linesOf(own)
  const open = lines.filter((line) => line.finding !== 'ok')
  const amounts = (rows: readonly ResultRow[]): ResultRow => ({
    line: 'all',
    billed_amount: sumMoney(rows, 'billed_amount'),
    supported_amount: sumMoney(rows, 'supported_amount'),
    difference_amount: sumMoney(rows, 'difference_amount'),
  })
  const blocks: Block[] = [
    text(`Contract ${invoice.contract}; days billed ${daysOf(invoice)}; amounts in ${invoice.currency}.`),
    { is: 'figures', figures: figuresOf(invoice) },
    ...(open.length > 0
      ? [
          discussed(invoice, open),
          chartOf(invoiceWaterfall, own as unknown as InvoiceFindingRow[], asking.look),
        ]
      : [text('Every line rests on the records as billed.')]),
    {
      is: 'table',
      name: `invoice ${invoice.invoice}`,
      caption: `All lines of invoice ${invoice.invoice}`,
      columns: lineColumns,
      rows: lines,
      total: amounts(lines),
    },
    { is: 'sign', parties: ['the operator', 'the other party'] },
  ]
  return { title: `Invoice ${invoice.invoice}`, blocks }
}

/** What is asked of the other party, in words. */
function discussed(invoice: ResultRow, open: readonly ResultRow[]): Block {
  return {
    is: 'table',
    name: `questions ${invoice.invoice}`,
    caption: 'Lines to discuss, by money',
    columns: [
      column('line'),
      column('finding'),
      column('billed_amount', 'money'),
      column('supported_amount', 'money'),
      column('difference_amount', 'money'),
      column('message'),
      column('evidence'),
      column('note_state'),
    ],
    rows: [...open].sort(
      (a, b) => Math.abs(Number(b.difference_amount ?? 0)) - Math.abs(Number(a.difference_amount ?? 0)),
    ),
  }
}

/** One row per line, in the order of the invoice: its findings together, the amounts of the one that carries them. */
function linesOf(rows: readonly ResultRow[]): ResultRow[] {
  const lines = new Map<string, ResultRow>()
  for (const row of [...rows].sort((a, b) => Number(b.is_primary) - Number(a.is_primary))) {
    const key = String(row.line)
    const known = lines.get(key)
    if (known) known.finding = `${known.finding}, ${row.finding}`
    else
      lines.set(key, {
        ...row,
        days: spanText(String(row.from_on), row.to_on === null ? null : String(row.to_on)),
        evidence: evidenceText(row.evidence),
        billed_price: row.billed_price === null ? null : plainPrice(String(row.billed_price)),
        note_state: noteText(row),
      })
  }
  const order = new Intl.Collator('en', { numeric: true })
  return [...lines.values()].sort((a, b) => order.compare(String(a.line), String(b.line)))
}

/** `4 Jul 2026`, `1–30 Jun 2026`, or both days in full. */
function spanText(from: string, to: string | null): string {
  const brief = (day: string): string => dayText(day, true).replace(/([A-Z][a-z]{2})[a-z]+/, '$1')
  if (to === null || to === from) return brief(from)
  if (from.slice(0, 7) === to.slice(0, 7)) return `${Number(from.slice(8))}–${brief(to)}`
  return `${brief(from)} – ${brief(to)}`
}

/** A price with the decimals that it has, two at least. */
function plainPrice(price: string): string {
  return price.replace(/(\.\d{2}\d*?)0+$/, '$1')
}

function noteText(row: ResultRow): string | null {
  return row.note_state ? `${row.note_state}: ${row.note_reason} (${row.note_by})` : null
}

function figuresOf(invoice: ResultRow): { label: string; value: string; note: string }[] {
  const amount = (name: string): string => money(invoice[name] as string)
  return [
    { label: 'Billed', value: amount('billed'), note: plural(Number(invoice.lines), 'line') },
    { label: 'Supported by the records', value: amount('supported'), note: '' },
    {
      label: 'In dispute',
      value: amount('in_dispute'),
      note: 'billed above the record, line by line',
    },
    { label: 'Billed too low', value: amount('under_billed'), note: 'never netted against the dispute' },
    {
      label: 'Noted',
      value: String(Number(invoice.agreed) + Number(invoice.disputed) + Number(invoice.credited)),
      note: `${invoice.agreed} agreed, ${invoice.disputed} disputed, ${invoice.credited} credited`,
    },
  ]
}
