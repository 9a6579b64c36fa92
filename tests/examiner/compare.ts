import type { Row } from './canonical.ts'

export type Answer = Record<string, unknown>

/** Differences between answered rows and expected rows; only the columns expected are held; `isPart`: more rows may follow. */
export function differences(
  got: readonly Answer[],
  keyOf: (row: Answer) => string,
  want: ReadonlyMap<string, Row>,
  isPart = false,
): string[] {
  const out: string[] = []
  const rows = new Map<string, Answer>()
  for (const row of got) {
    if (rows.has(keyOf(row))) out.push(`${keyOf(row)} is there twice`)
    rows.set(keyOf(row), row)
  }
  for (const [key, row] of want) {
    const found = rows.get(key)
    if (!found) {
      out.push(`${key} is missing`)
      continue
    }
    for (const [column, value] of Object.entries(row)) {
      if (value === undefined || same(found[column], value, 1e-9)) continue
      out.push(`${key}: ${column} is ${JSON.stringify(found[column])}, expected ${JSON.stringify(value)}`)
    }
  }
  if (!isPart) for (const key of rows.keys()) if (!want.has(key)) out.push(`${key} is not expected`)
  return out
}

export function same(a: unknown, b: unknown, tolerance: number): boolean {
  if (b === 'some') return a !== null && a !== undefined
  if (a === null || b === null) return a === b
  if (typeof b === 'number')
    return typeof a === 'number' && Math.abs(a - b) <= tolerance * Math.max(1, Math.abs(b))
  if (Array.isArray(a)) return JSON.stringify(a) === b
  return String(a) === String(b)
}
