import type { Table } from 'apache-arrow'
import { tableFromIPC } from 'apache-arrow/ipc/serialization'

export type Cell = string | number | boolean | null | readonly string[]
export type Row = Readonly<Record<string, Cell>>

/** Arrow's type numbers that need more than `get` (Arrow columnar format, `Schema.fbs`). */
const arrowType = { decimal: 7, date: 8, timestamp: 10, list: 12, dictionary: -1 } as const

interface Field {
  readonly typeId: number
  readonly scale?: number
  readonly dictionary?: Field
}

/** Rows of an Arrow stream: times as ISO text, days as `2026-07-04`, decimals as exact text, integers as numbers. */
export function rowsOfArrow(bytes: Uint8Array): Row[] {
  return rowsOfTable(tableFromIPC(bytes))
}

export function rowsOfTable(table: Table): Row[] {
  const names = table.schema.fields.map((field) => field.name)
  const readers = table.schema.fields.map((field) => readerOf(field.type as Field))
  const rows: Record<string, Cell>[] = Array.from({ length: table.numRows }, () => ({}))
  names.forEach((name, at) => {
    const column = table.getChildAt(at)
    const read = readers[at]
    if (!column || !read) return
    for (let row = 0; row < rows.length; row++) rows[row]![name] = read(column.get(row))
  })
  return rows
}

function readerOf(type: Field): (value: unknown) => Cell {
  if (type.typeId === arrowType.dictionary && type.dictionary) return readerOf(type.dictionary)
  if (type.typeId === arrowType.decimal) return (value) => decimalText(value, type.scale ?? 0)
  if (type.typeId === arrowType.date) return (value) => isoText(value)?.slice(0, 10) ?? null
  if (type.typeId === arrowType.timestamp) return (value) => isoText(value)?.replace('.000Z', 'Z') ?? null
  if (type.typeId === arrowType.list)
    return (value) => (value ? Array.from(value as Iterable<unknown>, String) : null)
  return plain
}

function plain(value: unknown): Cell {
  if (value === null || value === undefined) return null
  if (typeof value === 'bigint') return Number(value)
  if (typeof value === 'number') return Number.isFinite(value) ? value : null
  return typeof value === 'boolean' ? value : String(value)
}

function isoText(value: unknown): string | null {
  if (value === null || value === undefined) return null
  const moment = value instanceof Date ? value : new Date(Number(value))
  return Number.isNaN(moment.getTime()) ? null : moment.toISOString()
}

/** Arrow keeps a decimal as a little-endian two's complement integer of 32-bit words. */
function decimalText(value: unknown, scale: number): string | null {
  if (value === null || value === undefined) return null
  const words = value as Uint32Array
  let whole = 0n
  for (let at = words.length - 1; at >= 0; at--) whole = (whole << 32n) | BigInt(words[at]!)
  const signed = BigInt.asIntN(words.length * 32, whole)
  const digits = (signed < 0n ? -signed : signed).toString().padStart(scale + 1, '0')
  const text = scale ? `${digits.slice(0, -scale)}.${digits.slice(-scale)}` : digits
  return signed < 0n ? `-${text}` : text
}

/** A number from a cell, whatever way it travelled; null when nothing is known. */
export function numberOf(cell: Cell | undefined): number | null {
  if (cell === null || cell === undefined || cell === '' || typeof cell === 'object') return null
  const value = Number(cell)
  return Number.isFinite(value) ? value : null
}

export function textOf(cell: Cell | undefined): string {
  if (cell === null || cell === undefined) return ''
  return typeof cell === 'object' ? cell.join('; ') : String(cell)
}

/** Sum of a column over the rows where it is known; null if it is known nowhere. */
export function sumOf<R>(rows: readonly R[], pick: (row: R) => number | null): number | null {
  let total = 0
  let known = 0
  for (const row of rows) {
    const value = pick(row)
    if (value === null) continue
    total += value
    known++
  }
  return known ? total : null
}
