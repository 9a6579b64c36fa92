/**
 * The pairs of a two-way table, cell by cell: ordered by row and column, and within a cell by value. Effects are numbered rows first,
 * then columns: those of cell `c` are `at[c]` and `to[c]`, its values `value[first[c]]` until before `value[first[c + 1]]`.
 * Only cells with pairs are there.
 */
export interface Cells {
  at: Int32Array
  to: Int32Array
  first: Int32Array
  value: Float64Array
  /** Pairs of each effect. */
  counts: Int32Array
}

/** Puts pairs into their cells. `row`, `column`: whole numbers 0..rows − 1, 0..columns − 1. */
export function cellsOf(
  row: ArrayLike<number>,
  column: ArrayLike<number>,
  y: ArrayLike<number>,
  rows: number,
  columns: number,
): Cells {
  const n = y.length
  const place = new Int32Array(rows * columns + 1)
  const counts = new Int32Array(rows + columns)
  for (let k = 0; k < n; k++) {
    place[row[k]! * columns + column[k]! + 1]! += 1
    counts[row[k]!]! += 1
    counts[rows + column[k]!]! += 1
  }
  const used: number[] = []
  for (let i = 0; i < rows * columns; i++) {
    if (place[i + 1]! > 0) used.push(i)
    place[i + 1]! += place[i]!
  }
  const first = Int32Array.from([...used.map((i) => place[i]!), n])
  const value = new Float64Array(n)
  for (let k = 0; k < n; k++) value[place[row[k]! * columns + column[k]!]!++] = y[k]!
  for (let c = 0; c < used.length; c++) value.subarray(first[c]!, first[c + 1]!).sort()
  return {
    at: Int32Array.from(used, (i) => Math.floor(i / columns)),
    to: Int32Array.from(used, (i) => rows + (i % columns)),
    first,
    value,
    counts,
  }
}

/** The cells of each effect. */
export function cellsByEffect({ at, to, counts }: Cells): number[][] {
  const cells = Array.from(counts, (): number[] => [])
  for (let c = 0; c < at.length; c++) {
    cells[at[c]!]!.push(c)
    cells[to[c]!]!.push(c)
  }
  return cells
}
