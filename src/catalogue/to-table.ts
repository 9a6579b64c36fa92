import type { Cell } from '../warehouse/index.ts'
import type { ResultColumn } from './column-kind.ts'
import { lists } from './list-form.ts'
import { nearest } from './nearest.ts'
import { QueryProblem } from './problem.ts'
import type { Rows } from './rows.ts'
import { grouped, headLines, shownColumn, type TableColumn } from './table-column.ts'
import { clipped, letters, wrapped } from './terminal-text.ts'

export type TableOptions = {
  /** Letters that fit on one line. */
  width: number
  /** ANSI styles for the header; off unless the caller knows that it writes to a terminal. */
  isColoured?: boolean
  /** Rows shown at most; a last line says how many there are more. */
  rowLimit?: number
  /** Columns that come first, in this order; the others follow while there is room. */
  first?: readonly string[]
  /** These columns and no others, in this order. */
  only?: readonly string[]
}

const gap = 2
const cellLines = 4

/**
 * A table for reading: numbers to the right with thousands separators, names whole, sentences over several lines.
 * Columns for which the line has no room are named below the table; where hardly any fits, each row is a list of its
 * values, and so is a row that stands alone.
 */
export async function toTable(result: Rows, options: TableOptions): Promise<string> {
  const limit = options.rowLimit ?? Number.POSITIVE_INFINITY
  const rows: Cell[][] = []
  for await (const block of result.blocks(Number.isFinite(limit) ? { limit } : {})) rows.push(...block)
  if (rows.length === 0) return 'no rows\n'
  const columns = chosen(result, options).map(({ name, kind }) => {
    const index = result.columns.findIndex((column) => column.name === name)
    return shownColumn(
      name,
      kind,
      rows.map((cells) => cells[index]!),
    )
  })
  const { kept, left } = fitting(columns, options.width)
  const isList = left.length > 0 && (rows.length === 1 || kept.length < Math.min(3, columns.length))
  const body = isList ? lists(columns, rows.length, options) : grid(kept, rows.length, options)
  const count = `${grouped(String(rows.length))} ${rows.length === 1 ? 'row' : 'rows'}`
  const more = isList ? '' : leftOut(left)
  const last = `${count}${result.hasMore ? ' shown, and there are more' : ''}${more}`
  return `${body}${wrapped(last, options.width).join('\n')}\n`
}

/** @throws QueryProblem when a column is asked for that is not there. */
function chosen({ columns, question }: Rows, { first = [], only }: TableOptions): readonly ResultColumn[] {
  if (only === undefined) {
    const place = (name: string): number => (first.includes(name) ? first.indexOf(name) : first.length)
    return [...columns].sort((a, b) => place(a.name) - place(b.name))
  }
  const names = columns.map((column) => column.name)
  return only.map((name) => {
    const column = columns.find((one) => one.name === name)
    if (column) return column
    const near = nearest(name, names)
    throw new QueryProblem(
      'bad-param',
      `${question.name} has no column ${name}; ${near ? `did you mean ${near}?` : `it gives ${names.join(', ')}`}`,
      near,
    )
  })
}

function leftOut(left: readonly TableColumn[]): string {
  const named = (isEmpty: boolean): string =>
    left
      .filter((column) => column.isEmpty === isEmpty)
      .map((column) => column.name)
      .join(', ')
  const [full, empty] = [named(false), named(true)]
  return `${full ? `; not shown for want of width: ${full}` : ''}${empty ? `; nothing in: ${empty}` : ''}`
}

/**
 * The columns for which a line has room, from the left; a wide one that does not fit makes room for those behind it.
 * What room remains goes to the columns that are cut.
 */
function fitting(
  columns: readonly TableColumn[],
  width: number,
): { kept: TableColumn[]; left: TableColumn[] } {
  const whole = columns.reduce((sum, column) => sum + column.natural + gap, -gap)
  const kept: TableColumn[] = []
  const left: TableColumn[] = []
  let room = width + gap
  for (const column of columns) {
    const least = whole <= width ? column.natural : column.least
    const isWanted = whole <= width || !column.isEmpty
    if (isWanted && least + gap <= room) {
      room -= least + gap
      kept.push({ ...column, width: least })
    } else left.push(column)
  }
  for (const column of [...kept].sort((a, b) => a.natural - a.width - (b.natural - b.width))) {
    const more = Math.min(room, column.natural - column.width)
    column.width += more
    room -= more
  }
  return { kept, left }
}

function grid(columns: readonly TableColumn[], count: number, options: TableOptions): string {
  const line = (texts: readonly string[]): string =>
    texts
      .map((text, index) => padded(text, columns[index]!))
      .join(' '.repeat(gap))
      .trimEnd()
  const heads = columns.map((column) => headLines(column.name, column.width))
  const most = Math.max(...heads.map((lines) => lines.length))
  // Short headings stand on the last line, above their cells.
  const header = Array.from({ length: most }, (_, at) =>
    line(heads.map((lines) => lines[at - most + lines.length] ?? '')),
  )
  const rule = columns.map((column) => '─'.repeat(column.width)).join(' '.repeat(gap))
  const bold = (text: string): string => (options.isColoured ? `\u001b[1m${text}\u001b[0m` : text)
  const out = [...header.map(bold), rule]
  for (let row = 0; row < count; row++) {
    const cells = columns.map((column) => cellText(column, row))
    const height = Math.max(...cells.map((lines) => lines.length))
    for (let at = 0; at < height; at++) out.push(line(cells.map((lines) => lines[at] ?? '')))
  }
  return `${out.join('\n')}\n${rule}\n`
}

function cellText(column: TableColumn, row: number): string[] {
  const text = column.texts[row]!
  if (!column.isProse || letters(text) <= column.width) return [clipped(text, column.width)]
  const lines = wrapped(text, column.width).map((line) => clipped(line, column.width))
  return lines.length <= cellLines
    ? lines
    : [...lines.slice(0, cellLines - 1), clipped(lines.slice(cellLines - 1).join(' '), column.width)]
}

function padded(text: string, column: TableColumn): string {
  const fill = ' '.repeat(Math.max(0, column.width - letters(text)))
  return column.isRight ? fill + text : text + fill
}
