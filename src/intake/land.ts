import { rm } from 'node:fs/promises'
import type { Landing, Recognized } from '../sources/index.ts'
import { quote } from '../values/sql/write.ts'
import type { Warehouse } from '../warehouse/index.ts'

/** A file that has a number and a profile, whose rows stand in `raw`. */
export interface Landed {
  readonly fileNo: number
  readonly layoutNo: number
}

/** Layouts by their headers: files with the same headers share a table. */
export class Layouts {
  readonly #warehouse: Warehouse
  readonly #known: Map<string, number>

  private constructor(warehouse: Warehouse, known: Map<string, number>) {
    this.#warehouse = warehouse
    this.#known = known
  }

  static async read(warehouse: Warehouse): Promise<Layouts> {
    const rows = await warehouse.rows<{ layout_no: number; header: string[] }>(
      'SELECT layout_no, header FROM raw.layout ORDER BY layout_no',
    )
    return new Layouts(warehouse, new Map(rows.map((row) => [JSON.stringify(row.header), row.layout_no])))
  }

  /** The number of the layout with these headers; its table is made where it is new. */
  async of(header: readonly string[]): Promise<number> {
    const same = this.#known.get(JSON.stringify(header))
    if (same !== undefined) return same
    const layoutNo = Math.max(0, ...this.#known.values()) + 1
    const cells = header.map((_, i) => `c${i + 1} VARCHAR`).join(', ')
    await this.#warehouse.run(
      `CREATE TABLE raw.layout_${layoutNo}(file_no INTEGER, line INTEGER, problem VARCHAR, surplus VARCHAR, ${cells})`,
    )
    await this.#warehouse.append('raw.layout', { layout_no: [layoutNo], header: [[...header]] })
    this.#known.set(JSON.stringify(header), layoutNo)
    return layoutNo
  }
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
