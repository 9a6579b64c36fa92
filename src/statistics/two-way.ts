import { studentQuantile } from './distributions.ts'
import { centerColumns, groups, medianPolish, pinned, residualScale, solveWeighted } from './two-way-steps.ts'

export interface RowEffect {
  effect: number
  /** Ends of the interval; null with a single pair. */
  low: number | null
  high: number | null
  pairs: number
  /** Rows of one group share columns, so their effects can be compared; those of other groups cannot. */
  group: number
}

export interface TwoWayFit {
  /** One per row index; null for a row without pairs. */
  rows: (RowEffect | null)[]
  /** Column effects, median 0 within each group; NaN for a column without pairs. */
  columns: Float64Array
  /** Robust standard deviation of one pair about the fit; null when there are no more pairs than effects. */
  scale: number | null
  /** Weight 0..1 of each pair, in the order given; about 0 is a value set aside as wild. */
  weights: Float64Array
}

/** Tuning constant of Tukey's bisquare for 95 % efficiency with normal errors. */
const BISQUARE = 4.685
/** Keeps an effect determined when all its pairs contradict each other. */
const LEAST_WEIGHT = 1e-6

/**
 * Robust fit of y = row[i] + column[j] + error over pairs, with the median column effect held at 0.
 *
 * A start by median polish (Tukey, Exploratory Data Analysis, 1977) is followed by reweighted least squares with the bisquare at
 * the start's scale (an MM-estimate in kind: Yohai, Annals of Statistics 15, 1987), so that a wild value gets no weight at all.
 * Intervals: Student's t on pairs − 1 degrees of freedom with the leverage-corrected sandwich variance (HC3, MacKinnon and White
 * 1985). The pairs are taken in a fixed order, so the result is the same to the last bit whatever order they come in.
 *
 * `row`, `column`: whole numbers 0..rows − 1, 0..columns − 1; `y`: finite. Arrays of equal length. Throws RangeError otherwise.
 */
export function twoWayFit(
  row: ArrayLike<number>,
  column: ArrayLike<number>,
  y: ArrayLike<number>,
  { rows, columns, confidence = 0.95 }: { rows: number; columns: number; confidence?: number },
): TwoWayFit {
  const n = y.length
  if (row.length !== n || column.length !== n)
    throw new RangeError('a two-way fit needs a row and a column per value')
  for (let k = 0; k < n; k++) {
    if (
      !(row[k]! >= 0 && row[k]! < rows && column[k]! >= 0 && column[k]! < columns && Number.isFinite(y[k]!))
    ) {
      throw new RangeError(`pair ${k + 1} of the two-way fit is outside its table or not a number`)
    }
  }
  const compare = (a: number, b: number): number =>
    row[a]! - row[b]! || column[a]! - column[b]! || y[a]! - y[b]!
  const order = Int32Array.from({ length: n }, (_, k) => k)
  if (order.some((k) => k > 0 && compare(k - 1, k) > 0)) order.sort(compare)
  const at = order.map((k) => row[k]!)
  const to = order.map((k) => rows + column[k]!)
  const value = new Float64Array(n)
  for (let k = 0; k < n; k++) value[k] = y[order[k]!]!

  const size = rows + columns
  const counts = new Int32Array(size)
  for (let k = 0; k < n; k++) {
    counts[at[k]!]! += 1
    counts[to[k]!]! += 1
  }
  const group = groups(at, to, size)
  const effects = medianPolish(at, to, value, counts)
  const residuals = new Float64Array(n)
  const refresh = (): void => {
    for (let k = 0; k < n; k++) residuals[k] = value[k]! - effects[at[k]!]! - effects[to[k]!]!
  }
  refresh()
  const scale = residualScale(residuals, at, to, counts, group)

  const weights = new Float64Array(n).fill(1)
  const free = pinned(group, counts, rows)
  let inverse: Float64Array = new Float64Array(0)
  for (let round = 0; round < 60; round++) {
    if (scale !== null && scale > 0) {
      for (let k = 0; k < n; k++) {
        const u = residuals[k]! / (BISQUARE * scale)
        const part = 1 - u * u
        weights[k] = part > 0 ? Math.max(LEAST_WEIGHT, part * part) : LEAST_WEIGHT
      }
    }
    const before = effects.slice()
    inverse = solveWeighted(at, to, value, weights, free, effects)
    refresh()
    let moved = 0
    for (let i = 0; i < size; i++) moved = Math.max(moved, Math.abs(effects[i]! - before[i]!))
    if (scale === null || scale === 0 || moved < 1e-12) break
  }

  const anchors = centerColumns(effects, group, counts, rows)
  const variance = sandwich(at, to, residuals, weights, inverse, free, scale)
  const result: TwoWayFit = {
    rows: [],
    columns: Float64Array.from({ length: columns }, (_, j) =>
      counts[rows + j]! > 0 ? effects[rows + j]! : Number.NaN,
    ),
    scale,
    weights: new Float64Array(n),
  }
  for (let k = 0; k < n; k++) result.weights[order[k]!] = weights[k]!
  for (let i = 0; i < rows; i++) {
    const pairs = counts[i]!
    if (pairs === 0) {
      result.rows.push(null)
      continue
    }
    const contrast = [i, ...anchors.get(group[i]!)!]
    const sd = Math.sqrt(variance(contrast))
    const half = pairs > 1 ? studentQuantile(0.5 + confidence / 2, pairs - 1) * sd : null
    const effect = effects[i]!
    result.rows.push({
      effect,
      low: half === null ? null : effect - half,
      high: half === null ? null : effect + half,
      pairs,
      group: group[i]!,
    })
  }
  return result
}

/** Variance of row effect + mean of its group's anchor columns (the first member of the contrast is the row). */
function sandwich(
  at: Int32Array,
  to: Int32Array,
  residuals: Float64Array,
  weights: Float64Array,
  inverse: Float64Array,
  free: Int32Array,
  scale: number | null,
): (contrast: number[]) => number {
  const p = Math.round(Math.sqrt(inverse.length))
  const n = residuals.length
  // mean of ψ′ over mean of ψ(r)/r: what reweighting alone would overstate
  let slope = 0
  let whole = 0
  for (let k = 0; k < n; k++) {
    const u = scale ? residuals[k]! / (BISQUARE * scale) : 0
    slope += Math.abs(u) < 1 ? (1 - u * u) * (1 - 5 * u * u) : 0
    whole += weights[k]!
  }
  const ratio = Math.max(0.2, slope / whole) ** 2
  const entry = (i: number, j: number): number => (i < 0 || j < 0 ? 0 : inverse[i * p + j]!)
  return (contrast) => {
    const [rowEffect, ...anchors] = contrast
    const direction = new Float64Array(p)
    for (let j = 0; j < p; j++) {
      direction[j] = entry(free[rowEffect!]!, j)
      for (const c of anchors) direction[j]! += entry(free[c]!, j) / anchors.length
    }
    let sum = 0
    for (let k = 0; k < n; k++) {
      const a = free[at[k]!]!
      const b = free[to[k]!]!
      const g = direction[a]! + (b < 0 ? 0 : direction[b]!)
      if (g === 0) continue
      const leverage = weights[k]! * (entry(a, a) + entry(b, b) + 2 * entry(a, b))
      const score = (weights[k]! * residuals[k]!) / Math.max(0.05, 1 - leverage)
      sum += (g * score) ** 2
    }
    return sum / ratio
  }
}
