import writeXlsxFile, { type Sheet } from 'write-excel-file/node'
import { shown } from '../../dashboards/units.ts'
import { sheetName, typedSheet } from '../catalogue/index.ts'
import type { ReportContent, TableBlock, TextBlock } from './block.ts'
import { headingOf, measureOf } from './figures.ts'
import { type Look, lookText } from './look.ts'
import type { Imprint } from './to-html.ts'

/** Every table of a report on a sheet of its own, whole and with typed cells; the first sheet says what they are. */
export async function toXlsx(content: ReportContent, imprint: Imprint): Promise<Uint8Array> {
  const tables = content.sections
    .flatMap((section) => section.blocks)
    .filter((block): block is TableBlock => block.is === 'table')
  const used = new Set(['about'])
  const named = tables.map((table) => ({ table, name: unused(table.name, used) }))
  const sheets = named.map(({ table, name }) => shownSheet(name, table, imprint.look))
  return writeXlsxFile([about(content, imprint, named), ...sheets]).toBuffer()
}

/** Metric sheets say their unit in the heading; in US units the headings are the columns of the question. */
function shownSheet(name: string, table: TableBlock, look: Look): Sheet<Buffer> {
  if (look.units === 'us') return typedSheet(name, table.columns, table.rows)
  const columns = table.columns.map((column) => ({ ...column, name: headingOf(column, look) }))
  const rows = table.rows.map((row) =>
    Object.fromEntries(
      table.columns.map((column, index) => {
        const cell = row[column.name] ?? null
        const measure = typeof cell === 'number' ? measureOf(column) : null
        const value = measure && measure !== 'share' ? shown(cell as number, measure, look.units) : cell
        return [columns[index]!.name, value]
      }),
    ),
  )
  const kinds = columns.map((column) =>
    column.kind === 'integer' && rows.some((row) => !Number.isInteger(row[column.name] ?? 0))
      ? { ...column, kind: 'number' as const }
      : column,
  )
  return typedSheet(name, kinds, rows)
}

/** Names of sheets differ without regard to case. */
function unused(wanted: string, used: Set<string>): string {
  let name = sheetName(wanted)
  for (let count = 2; used.has(name.toLowerCase()); count++)
    name = `${sheetName(wanted).slice(0, 27)} ${count}`
  used.add(name.toLowerCase())
  return name
}

function about(
  content: ReportContent,
  imprint: Imprint,
  named: { table: TableBlock; name: string }[],
): Sheet<Buffer> {
  const bold = (value: string) => ({ value, type: String, fontWeight: 'bold' as const })
  const line = (value: string) => ({ value, type: String, wrap: true, alignVertical: 'top' as const })
  const terms = content.sections
    .flatMap((section) => section.blocks)
    .filter((block): block is TextBlock => block.is === 'term')
  return {
    sheet: 'About',
    columns: [{ width: 32 }, { width: 100 }],
    data: [
      [{ ...bold(content.title), fontSize: 16 }],
      [bold('Selection'), line(content.subtitle)],
      [bold('Summary'), line(content.summary)],
      ...content.cautions.map((caution) => [bold('Caution'), line(caution)]),
      [bold('Made at (UTC)'), { value: imprint.madeAt, type: Date, format: 'yyyy-mm-dd hh:mm:ss' }],
      [bold('Fingerprint of the records'), line(imprint.fingerprint)],
      [
        bold('Units'),
        line(
          `${lookText(imprint.look)}${imprint.look.zone === 'UTC' ? '' : ' on paper, UTC in these sheets'}`,
        ),
      ],
      [],
      [bold('Sheet'), bold('Holds')],
      ...named.map(({ table, name }) => [line(name), line(`${table.caption} (${table.rows.length} rows)`)]),
      [],
      [bold('Definition'), bold('Meaning')],
      ...terms.map((block) => [line(block.term ?? ''), line(block.text)]),
    ],
  }
}
