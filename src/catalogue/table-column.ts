import type { Cell } from '../warehouse/index.ts'
import type { ColumnKind } from './column-kind.ts'
import { letters, printable } from './terminal-text.ts'

/** A column of a terminal's table, its cells as text. Widths in letters. */
export type TableColumn = {
  name: string
  isRight: boolean
  /** Sentences, which may go over several lines; names and numbers stay whole. */
  isProse: boolean
  isEmpty: boolean
  texts: string[]
  /** Room for all of it, and the least that is of use. */
  natural: number
  least: number
  width: number
}

const rightAligned: ReadonlySet<ColumnKind> = new Set(['integer', 'number', 'money'])
const proseFrom = 30
const leastProse = 28
const mostName = 44
const leastList = 18

export function shownColumn(name: string, kind: ColumnKind, cells: readonly Cell[]): TableColumn {
  const decimals = kind === 'number' ? decimalsFor(name, cells) : 0
  const texts = cells.map((cell) =>
    shown(cell, kind, isMixed(name) && typeof cell === 'number' ? decimalsFor('', [cell]) : decimals),
  )
  const widest = texts.reduce((most, text) => Math.max(most, letters(text)), 0)
  const natural = Math.max(widest, letters(name))
  const isProse = kind === 'text' && texts.some((text) => letters(text) > proseFrom && text.includes(' '))
  const floor = isProse ? leastProse : kind === 'list' ? leastList : kind === 'text' ? mostName : widest
  return {
    name,
    isRight: rightAligned.has(kind),
    isProse,
    isEmpty: texts.every((text) => text === ''),
    texts,
    natural,
    least: Math.max(Math.min(widest, floor), leastHead(name)),
    width: natural,
  }
}

const headHeight = 3

/** A heading over several lines, broken behind its underscores. */
export function headLines(name: string, width: number): string[] {
  const lines = ['']
  for (const part of name.split(/(?<=_)/)) {
    const line = lines.at(-1)!
    if (line !== '' && letters(line) + letters(part) > width) lines.push(part)
    else lines[lines.length - 1] = line + part
  }
  return lines
}

/** The narrowest column in which a heading takes three lines at most. */
function leastHead(name: string): number {
  let width = Math.max(...name.split(/(?<=_)/).map(letters))
  while (headLines(name, width).length > headHeight) width++
  return width
}

/** A column whose rows are of different measures: each has the decimals that it needs. */
const isMixed = (name: string): boolean => /^(low|high|difference|value)$|_value$/.test(name)

/** Whole numbers as they are; else as many decimals as three to four figures need (positions keep five, quantities two). */
function decimalsFor(name: string, cells: readonly Cell[]): number {
  if (/latitude|longitude/.test(name)) return 5
  let largest = 0
  let isWhole = true
  for (const cell of cells) {
    if (typeof cell !== 'number') continue
    largest = Math.max(largest, Math.abs(cell))
    if (!Number.isInteger(cell)) isWhole = false
  }
  if (isWhole) return 0
  // Gallons and hours stand in one column of an invoice: the hours need their tenths.
  if (/quantity$/.test(name)) return 2
  if (largest >= 100 && /gal(lons)?$/.test(name)) return 0
  return largest >= 1000 ? 0 : largest >= 100 ? 1 : largest >= 1 ? 2 : 3
}

function shown(cell: Cell, kind: ColumnKind, decimals: number): string {
  if (cell === null || cell === undefined) return ''
  if (kind === 'number' || kind === 'integer')
    return grouped(
      Number(cell)
        .toFixed(decimals)
        .replace(/^-(0(\.0+)?)$/, '$1'),
    )
  if (kind === 'money') return grouped(String(cell))
  if (kind === 'boolean') return cell ? 'yes' : 'no'
  if (kind === 'time') return `${String(cell).slice(0, 16).replace('T', ' ')}Z`
  if (Array.isArray(cell)) return printable(cell.map(String).join('; '))
  return printable(typeof cell === 'object' ? JSON.stringify(cell) : String(cell))
}

/** `1234567.5` → `1,234,567.5`. Without `Intl`, which takes longer to load than a whole table to write. */
export function grouped(number: string): string {
  const [whole, rest] = number.split('.') as [string, string | undefined]
  const text = whole.replace(/\B(?=(\d{3})+(?!\d))/g, ',')
  return rest === undefined ? text : `${text}.${rest}`
}
