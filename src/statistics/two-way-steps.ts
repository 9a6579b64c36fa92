import { invertPositive } from './cholesky.ts'
import type { Cells } from './two-way-cells.ts'

/** Steps of the two-way fit. */

/** Connected groups of rows and columns, numbered by their least member. */
export function groups({ at, to, counts }: Cells): Int32Array {
  const parent = Int32Array.from({ length: counts.length }, (_, i) => i)
  const root = (i: number): number => {
    let r = i
    while (parent[r] !== r) r = parent[r]!
    while (parent[i] !== r) {
      const next = parent[i]!
      parent[i] = r
      i = next
    }
    return r
  }
  for (let c = 0; c < at.length; c++) {
    const a = root(at[c]!)
    const b = root(to[c]!)
    parent[Math.max(a, b)] = Math.min(a, b)
  }
  return parent.map((_, i) => root(i))
}

/** Position of each effect among the unknowns, or −1: effects without pairs and the first column of each group are held at 0. */
export function pinned(group: Int32Array, counts: Int32Array, rows: number): Int32Array {
  const held = new Set<number>()
  let next = 0
  return counts.map((count, i) => {
    if (count === 0) return -1
    if (i >= rows && !held.has(group[i]!)) {
      held.add(group[i]!)
      return -1
    }
    return next++
  })
}

/** Tuning constant of Tukey's bisquare for 95 % efficiency with normal errors. */
export const BISQUARE = 4.685
/** Keeps an effect determined when all its pairs contradict each other. */
const LEAST_WEIGHT = 1e-6

/** Weight of a pair with a residual; 1 where nothing is known about their scale. */
export function weightOf(residual: number, scale: number | null): number {
  if (scale === null || scale === 0) return 1
  const u = residual / (BISQUARE * scale)
  const part = 1 - u * u
  return part > 0 ? Math.max(LEAST_WEIGHT, part * part) : LEAST_WEIGHT
}

/** Least squares into `effects`, weighted by the residuals about them; returns the inverse of the normal matrix of the free effects. */
export function solveWeighted(
  { at, to, first, value }: Cells,
  scale: number | null,
  free: Int32Array,
  effects: Float64Array,
): Float64Array {
  const p = free.reduce((most, f) => Math.max(most, f + 1), 0)
  const gram = new Float64Array(p * p)
  const rhs = new Float64Array(p)
  for (let c = 0; c < at.length; c++) {
    const [row, column] = [effects[at[c]!]!, effects[to[c]!]!]
    const a = free[at[c]!]!
    const b = free[to[c]!]!
    let [ofRow, ofBoth, ofColumn] = [gram[a * p + a]!, 0, b < 0 ? 0 : gram[b * p + b]!]
    let [rowSum, columnSum] = [rhs[a]!, b < 0 ? 0 : rhs[b]!]
    for (let k = first[c]!; k < first[c + 1]!; k++) {
      const w = weightOf(value[k]! - row - column, scale)
      const part = w * value[k]!
      ofRow += w
      ofBoth += w
      ofColumn += w
      rowSum += part
      columnSum += part
    }
    gram[a * p + a] = ofRow
    rhs[a] = rowSum
    if (b < 0) continue
    gram[b * p + b] = ofColumn
    gram[a * p + b] = ofBoth
    gram[b * p + a] = ofBoth
    rhs[b] = columnSum
  }
  const inverse = invertPositive(gram, p)
  for (let i = 0; i < free.length; i++) {
    const f = free[i]!
    let sum = 0
    if (f >= 0) for (let j = 0; j < p; j++) sum += inverse[f * p + j]! * rhs[j]!
    effects[i] = sum
  }
  return inverse
}

/** Moves the median column effect of each group to 0; returns the one or two columns that the median rests on. */
export function centerColumns(
  effects: Float64Array,
  group: Int32Array,
  counts: Int32Array,
  rows: number,
): Map<number, number[]> {
  const anchors = new Map<number, number[]>()
  for (const g of new Set(group)) {
    const members = Array.from(effects.keys()).filter((i) => i >= rows && group[i] === g && counts[i]! > 0)
    if (members.length === 0) continue
    members.sort((a, b) => effects[a]! - effects[b]! || a - b)
    const middle = members.length >> 1
    const own = members.length % 2 === 1 ? [members[middle]!] : [members[middle - 1]!, members[middle]!]
    const shift = own.reduce((sum, i) => sum + effects[i]!, 0) / own.length
    for (let i = 0; i < effects.length; i++) {
      if (group[i] === g && counts[i]! > 0) effects[i]! += i < rows ? shift : -shift
    }
    anchors.set(g, own)
  }
  return anchors
}
