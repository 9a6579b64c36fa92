import type { Row, Sheet, Cell as SheetCell } from 'write-excel-file/node'
import type { Cell } from '../warehouse/index.ts'
import { type ColumnKind, type ResultColumn, scaleOf } from './column-kind.ts'
import { QueryProblem } from './problem.ts'
import type { Rows } from './rows.ts'

/** What the sheet `About` says besides the question itself. */
export type XlsxAbout = { fingerprint?: string | undefined; madeAt?: Date | undefined }

/** A worksheet has 1,048,576 rows; far below that the file stops being handy and the making takes gigabytes. */
const rowLimit = 250_000

const dayFormat = 'yyyy-mm-dd'
const timeFormat = 'yyyy-mm-dd hh:mm:ss'

const headerStyle = {
  fontWeight: 'bold',
  backgroundColor: '#E7ECEF',
  bottomBorderStyle: 'thin',
  wrap: true,
} as const

/**
 * A workbook with the rows on one sheet, typed, and a sheet `About`. Times are UTC (a worksheet has no zones).
 * @throws QueryProblem `too-many-rows` above 250,000 rows.
 */
export async function toXlsx(result: Rows, about: XlsxAbout): Promise<Uint8Array> {
  const sheet = await resultSheet(result, sheetName(result.question.name))
  const { default: writeXlsxFile } = await import('write-excel-file/node')
  return writeXlsxFile([sheet, aboutSheet(result, about)]).toBuffer()
}

/** The rows of a result as one worksheet. */
async function resultSheet(result: Rows, name: string): Promise<Sheet<Buffer>> {
  const sheet = new SheetRows(result.columns)
  for await (const block of result.blocks()) {
    for (const cells of block) sheet.add(cells)
    if (sheet.count > rowLimit) {
      throw new QueryProblem(
        'too-many-rows',
        `${result.question.name} gives more than ${rowLimit} rows, too many for a workbook; narrow it, or take csv or parquet`,
      )
    }
  }
  return sheet.toSheet(name)
}

/** What a worksheet needs to know of a column; without a type, money has two decimals. */
export type SheetColumn = Pick<ResultColumn, 'name' | 'kind'> & Partial<Pick<ResultColumn, 'type'>>

/** Rows by name as one worksheet: header line, typed cells, widths that fit. */
export function typedSheet(
  name: string,
  columns: readonly SheetColumn[],
  rows: readonly Readonly<Record<string, Cell>>[],
): Sheet<Buffer> {
  const sheet = new SheetRows(columns)
  for (const row of rows) sheet.add(columns.map((column) => row[column.name] ?? null))
  return sheet.toSheet(name)
}

class SheetRows {
  readonly #columns: readonly SheetColumn[]
  readonly #rows: Row[]
  readonly #widths: number[]

  constructor(columns: readonly SheetColumn[]) {
    this.#columns = columns
    this.#rows = [columns.map((column) => ({ value: column.name, type: String, ...headerStyle }))]
    this.#widths = columns.map((column) => column.name.length)
  }

  get count(): number {
    return this.#rows.length - 1
  }

  add(cells: readonly Cell[]): void {
    this.#rows.push(cells.map((cell, index) => sheetCell(cell, this.#columns[index]!)))
    cells.forEach((cell, index) => {
      this.#widths[index] = Math.max(this.#widths[index]!, shownLength(cell, this.#columns[index]!.kind))
    })
  }

  toSheet(name: string): Sheet<Buffer> {
    const columns = this.#widths.map((width) => ({ width: Math.min(48, width + 2) }))
    return { sheet: name, data: this.#rows, columns, stickyRowsCount: 1 }
  }
}

function sheetCell(cell: Cell, column: SheetColumn): SheetCell {
  if (cell === null || cell === undefined) return null
  switch (column.kind) {
    case 'integer':
      return typeof cell === 'number'
        ? { value: cell, type: Number, format: '#,##0' }
        : textCell(String(cell))
    case 'number':
      return Number.isFinite(cell) ? { value: cell as number, type: Number } : null
    case 'money':
      return {
        value: Number(cell),
        type: Number,
        format: `#,##0.${'0'.repeat(column.type ? scaleOf(column.type) : 2)}`,
      }
    case 'boolean':
      return { value: cell as boolean, type: Boolean }
    case 'time':
      return { value: new Date(cell as string), type: Date, format: timeFormat }
    case 'day':
      return { value: new Date(`${cell as string}T00:00:00Z`), type: Date, format: dayFormat }
    case 'list':
      return textCell((cell as Cell[]).map(String).join('; '))
    case 'text':
      return textCell(typeof cell === 'object' ? JSON.stringify(cell) : String(cell))
  }
}

/** A worksheet cell holds 32,767 letters; letters that XML cannot carry are left out. */
function textCell(text: string): SheetCell {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: exactly these are forbidden in XML 1.0
  const value = text.replace(/[\u0000-\u0008\u000B\u000C\u000E-\u001F\uFFFE\uFFFF]/g, '').slice(0, 32_767)
  return value === '' ? null : { value, type: String }
}

function shownLength(cell: Cell, kind: ColumnKind): number {
  if (cell === null || cell === undefined) return 0
  if (kind === 'time') return 19
  if (kind === 'number') return Math.min(12, String(cell).length)
  if (kind === 'money' || kind === 'integer') return String(cell).length + 3
  return String(cell).length
}

function aboutSheet(result: Rows, about: XlsxAbout): Sheet<Buffer> {
  const { question, params } = result
  const line = (label: string, value: SheetCell): Row => [
    { value: label, type: String, fontWeight: 'bold' },
    value,
  ]
  const text = (value: string): SheetCell => ({
    value: value || '–',
    type: String,
    wrap: true,
    alignVertical: 'top',
  })
  const data: Row[] = [
    line('Title', text(question.title)),
    line('Question', text(question.name)),
    line('One row is', text(question.grain)),
    line('Made at (UTC)', { value: about.madeAt ?? new Date(), type: Date, format: timeFormat }),
    line('Fingerprint of the records', text(about.fingerprint ?? '')),
    line('Times', text('UTC')),
  ]
  for (const [name, value] of Object.entries(params)) {
    if (value !== null) data.push(line(`Param ${name}`, text(String(value))))
  }
  for (const note of question.notes) data.push(line('Note', text(note)))
  data.push(
    [],
    [
      { value: 'Column', type: String, ...headerStyle },
      { value: 'Meaning', type: String, ...headerStyle },
    ],
  )
  for (const column of result.columns) data.push(line(column.name, text(column.about)))
  return { sheet: 'About', data, columns: [{ width: 28 }, { width: 90 }] }
}

/** A sheet's name has at most 31 letters and none of `[]:*?/\`. */
export function sheetName(text: string): string {
  return text.replace(/[[\]:*?/\\]/g, ' ').slice(0, 31)
}
