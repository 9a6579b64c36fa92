import type { Cell } from '../warehouse/index.ts'
import type { ColumnKind } from './column-kind.ts'
import type { Rows } from './rows.ts'

export type TableOptions = {
  /** Letters that fit on one line. */
  width: number
  /** ANSI styles for the header; off unless the caller knows that it writes to a terminal. */
  isColoured?: boolean
  /** Rows shown at most; a last line says how many there are more. */
  rowLimit?: number
}

const gap = 2
const narrowest = 10
const rightAligned: ReadonlySet<ColumnKind> = new Set(['integer', 'number', 'money'])

type Column = { name: string; isRight: boolean; texts: string[]; width: number }

/**
 * A table for reading: numbers to the right with thousands separators, text cut with `…` where the line is too short.
 * Columns that do not fit are named below the table; where hardly any fits, each row is a list of its values.
 */
export async function toTable(result: Rows, options: TableOptions): Promise<string> {
  const limit = options.rowLimit ?? Number.POSITIVE_INFINITY
  const rows: Cell[][] = []
  for await (const block of result.blocks(Number.isFinite(limit) ? { limit } : {})) rows.push(...block)
  if (rows.length === 0) return 'no rows\n'
  const columns = result.columns.map((column, index) =>
    shownColumn(
      column.name,
      column.kind,
      rows.map((cells) => cells[index]!),
    ),
  )
  const { kept, left } = fitting(columns, options.width)
  const body = kept.length > 0 ? grid(kept, rows.length, options) : lists(columns, rows.length, options)
  const count = `${rows.length.toLocaleString('en-US')} ${rows.length === 1 ? 'row' : 'rows'}`
  const more =
    left.length > 0 ? `; not shown for want of width: ${left.map((column) => column.name).join(', ')}` : ''
  return `${body}${folded(`${count}${result.hasMore ? ' shown, and there are more' : ''}${more}`, options.width)}\n`
}

function shownColumn(name: string, kind: ColumnKind, cells: readonly Cell[]): Column {
  const decimals = kind === 'number' ? decimalsFor(name, cells) : 0
  const texts = cells.map((cell) => shown(cell, kind, decimals))
  const width = texts.reduce((most, text) => Math.max(most, letters(text)), name.length)
  return { name, isRight: rightAligned.has(kind), texts, width }
}

/** Whole numbers as they are; else as many decimals as three to four figures need (positions keep five). */
function decimalsFor(name: string, cells: readonly Cell[]): number {
  if (/latitude|longitude/.test(name)) return 5
  let largest = 0
  let isWhole = true
  for (const cell of cells) {
    if (typeof cell !== 'number') continue
    largest = Math.max(largest, Math.abs(cell))
    if (!Number.isInteger(cell)) isWhole = false
  }
  if (isWhole || (largest >= 100 && /gal(lons)?$/.test(name))) return 0
  return largest >= 1000 ? 0 : largest >= 100 ? 1 : largest >= 1 ? 2 : 3
}

function shown(cell: Cell, kind: ColumnKind, decimals: number): string {
  if (cell === null || cell === undefined) return ''
  if (kind === 'number' || kind === 'integer') return grouped(Number(cell).toFixed(decimals))
  if (kind === 'money') return grouped(String(cell))
  if (kind === 'boolean') return cell ? 'yes' : 'no'
  if (kind === 'time') return `${String(cell).slice(0, 16).replace('T', ' ')}Z`
  if (Array.isArray(cell)) return printable(cell.map(String).join('; '))
  return printable(typeof cell === 'object' ? JSON.stringify(cell) : String(cell))
}

function grouped(number: string): string {
  const [whole, rest] = number.split('.') as [string, string | undefined]
  const text = whole.replace(/\B(?=(\d{3})+(?!\d))/g, ',')
  return rest === undefined ? text : `${text}.${rest}`
}

/** Control letters in a record must not steer the terminal. */
function printable(text: string): string {
  return text.replace(/\p{Cc}/gu, '·')
}

function letters(text: string): number {
  return [...text].length
}

/** The columns from the left that fit on a line; none when that would be fewer than three of more. */
function fitting(columns: Column[], width: number): { kept: Column[]; left: Column[] } {
  const widths = columns.map((column) => column.width)
  for (let count = columns.length; count >= Math.min(3, columns.length); count--) {
    columns.forEach((column, index) => {
      column.width = widths[index]!
    })
    const kept = columns.slice(0, count)
    if (shrink(kept, width)) return { kept, left: columns.slice(count) }
  }
  return { kept: [], left: [] }
}

/** Breaks a sentence into lines of the width. */
function folded(text: string, width: number): string {
  const lines = ['']
  for (const word of text.split(' ')) {
    const line = lines.at(-1)!
    if (line !== '' && letters(line) + 1 + letters(word) > width) lines.push(word)
    else lines[lines.length - 1] = line === '' ? word : `${line} ${word}`
  }
  return lines.join('\n')
}

/** Takes from the widest text columns until the line fits; false when it cannot. */
function shrink(columns: Column[], width: number): boolean {
  const room = width - gap * (columns.length - 1)
  let over = columns.reduce((sum, column) => sum + column.width, 0) - room
  while (over > 0) {
    const widest = columns
      .filter((column) => !column.isRight && column.width > narrowest)
      .reduce<Column | null>(
        (most, column) => (most === null || column.width > most.width ? column : most),
        null,
      )
    if (widest === null) return false
    widest.width--
    over--
  }
  return true
}

function grid(columns: readonly Column[], count: number, options: TableOptions): string {
  const line = (texts: readonly string[]): string =>
    texts
      .map((text, index) => padded(text, columns[index]!))
      .join(' '.repeat(gap))
      .trimEnd()
  const header = line(columns.map((column) => column.name))
  const rule = columns.map((column) => '─'.repeat(column.width)).join(' '.repeat(gap))
  const out = [options.isColoured ? `\u001b[1m${header}\u001b[0m` : header, rule]
  for (let row = 0; row < count; row++) out.push(line(columns.map((column) => column.texts[row]!)))
  return `${out.join('\n')}\n${rule}\n`
}

function padded(text: string, column: Column): string {
  const all = [...text]
  const cut = all.length > column.width ? `${all.slice(0, column.width - 1).join('')}…` : text
  const fill = ' '.repeat(Math.max(0, column.width - letters(cut)))
  return column.isRight ? fill + cut : cut + fill
}

function lists(columns: readonly Column[], count: number, options: TableOptions): string {
  const labelWidth = Math.max(...columns.map((column) => column.name.length))
  const room = Math.max(narrowest, options.width - labelWidth - gap)
  let out = ''
  for (let row = 0; row < count; row++) {
    for (const column of columns) {
      const all = [...column.texts[row]!]
      const text = all.length > room ? `${all.slice(0, room - 1).join('')}…` : all.join('')
      const label = column.name.padEnd(labelWidth)
      out += `${options.isColoured ? `\u001b[1m${label}\u001b[0m` : label}${' '.repeat(gap)}${text}`.trimEnd()
      out += '\n'
    }
    out += '\n'
  }
  return out
}
