import type { Cell } from '../warehouse/index.ts'
import type { ColumnKind } from './column-kind.ts'
import type { Page, Rows } from './rows.ts'

/**
 * RFC 4180: CRLF ends a line, a cell with a comma, quote or line end is quoted. Lists are joined with `;`, null is empty.
 * Text that a spreadsheet would take for a formula (it begins with `=`, `+`, `-`, `@`, tab or carriage return) gets an
 * apostrophe in front, unless it is a plain number.
 */
export async function* toCsv(result: Rows, page: Page): AsyncGenerator<string> {
  const kinds = result.columns.map((column) => column.kind)
  yield `${result.columns.map((column) => csvText(column.name)).join(',')}\r\n`
  for await (const block of result.blocks(page)) {
    let text = ''
    for (const cells of block)
      text += `${cells.map((cell, index) => csvCell(cell, kinds[index]!)).join(',')}\r\n`
    yield text
  }
}

/** One cell of a CSV file. */
export function csvCell(cell: Cell, kind: ColumnKind): string {
  if (cell === null || cell === undefined) return ''
  if (Array.isArray(cell)) return csvText(harmless(cell.map(itemText).join(';')))
  if (typeof cell === 'string') return csvText(kind === 'text' ? harmless(cell) : cell)
  if (typeof cell === 'object') return csvText(harmless(JSON.stringify(cell)))
  return typeof cell === 'number' && !Number.isFinite(cell) ? '' : String(cell)
}

function itemText(item: Cell): string {
  return item !== null && typeof item === 'object' ? JSON.stringify(item) : String(item ?? '')
}

function harmless(text: string): string {
  return /^[=+\-@\t\r\n＝＋－＠]/.test(text) && !/^[+-]?\d+(\.\d+)?$/.test(text) ? `'${text}` : text
}

function csvText(text: string): string {
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text
}
