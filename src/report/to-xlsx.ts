import writeXlsxFile, { type Sheet } from 'write-excel-file/node'
import { sheetName, typedSheet } from '../catalogue/index.ts'
import type { ReportContent, TableBlock, TextBlock } from './block.ts'
import type { Imprint } from './to-html.ts'

/** Every table of a report on a sheet of its own, whole and with typed cells; the first sheet says what they are. */
export async function toXlsx(content: ReportContent, imprint: Imprint): Promise<Uint8Array> {
  const tables = content.sections
    .flatMap((section) => section.blocks)
    .filter((block): block is TableBlock => block.is === 'table')
  const used = new Set(['about'])
  const named = tables.map((table) => ({ table, name: unused(table.name, used) }))
  const sheets = named.map(({ table, name }) => typedSheet(name, table.columns, table.rows))
  return writeXlsxFile([about(content, imprint, named), ...sheets]).toBuffer()
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
      [bold('Units'), line('US gallons, feet, hours; times UTC')],
      [],
      [bold('Sheet'), bold('Holds')],
      ...named.map(({ table, name }) => [line(name), line(`${table.caption} (${table.rows.length} rows)`)]),
      [],
      [bold('Definition'), bold('Meaning')],
      ...terms.map((block) => [line(block.term ?? ''), line(block.text)]),
    ],
  }
}
