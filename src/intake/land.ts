import { rm } from 'node:fs/promises'
import type { Landing, Recognized } from '../sources/index.ts'
import { quote } from '../values/sql/write.ts'
import type { Warehouse } from '../warehouse/index.ts'

/** A file that has a number and a profile, whose rows stand in `raw`. */
export interface Landed {
  readonly fileNo: number
  readonly layoutNo: number
}

/** The table of the layout with these headers; made where it is new. Files with the same headers share one. */
export async function layoutOf(warehouse: Warehouse, header: readonly string[]): Promise<number> {
  const known = await warehouse.rows<{ layout_no: number; header: string[] }>(
    'SELECT layout_no, header FROM raw.layout',
  )
  const same = known.find(
    (one) => one.header.length === header.length && one.header.every((name, i) => name === header[i]),
  )
  if (same) return same.layout_no
  const layoutNo = known.reduce((most, one) => Math.max(most, one.layout_no), 0) + 1
  const cells = header.map((_, i) => `c${i + 1} VARCHAR`).join(', ')
  await warehouse.run(
    `CREATE TABLE raw.layout_${layoutNo}(file_no INTEGER, line INTEGER, problem VARCHAR, surplus VARCHAR, ${cells})`,
  )
  await warehouse.append('raw.layout', { layout_no: [layoutNo], header: [header] })
  return layoutNo
}

/** Puts the rows of a prepared file into its layout, as text, with their lines. */
export async function landRows(
  warehouse: Warehouse,
  fileNo: number,
  layoutNo: number,
  recognized: Recognized,
  landing: Landing,
): Promise<void> {
  const cells = landing.header.map((_, i) => `c${i + 1}`)
  const lead = landing.direct ? [] : ['line', 'problem', 'surplus']
  const columns = [...lead, ...cells].map((name) => `'${name}': 'VARCHAR'`).join(', ')
  const { csv } = landing
  const source = `read_csv(${quote(landing.csvPath)}, auto_detect = false, header = false, skip = ${csv.skip}, delim = ${quote(csv.delimiter)},
    quote = ${quote(csv.quote)}, escape = ${quote(csv.escape)}, columns = {${columns}}, max_line_size = 16777216, null_padding = false, encoding = 'utf-8')`
  const line = landing.direct ? `(${recognized.headerLine} + row_number() OVER ())::INTEGER` : 'line::INTEGER'
  const trouble = landing.direct ? 'NULL, NULL' : 'problem, surplus'
  await warehouse.run(
    `INSERT INTO raw.layout_${layoutNo} SELECT ${fileNo}, ${line}, ${trouble}, ${cells.join(', ')} FROM ${source}`,
  )
  if (landing.isScratch) await rm(landing.csvPath, { force: true })
}
