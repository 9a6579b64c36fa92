import { studentQuantile } from './distributions.ts'
import { type Cells, cellsOf } from './two-way-cells.ts'
import { medianPolish, residualScale } from './two-way-start.ts'
import { BISQUARE, centerColumns, groups, pinned, solveWeighted, weightOf } from './two-way-steps.ts'

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
  const cells = cellsOf(row, column, y, rows, columns)
  const { counts } = cells
  const size = rows + columns
  const group = groups(cells)
  const effects = medianPolish(cells)
  const scale = residualScale(cells, effects, group)

  const free = pinned(group, counts, rows)
  let weighed: Float64Array = effects
  let inverse: Float64Array = new Float64Array(0)
  for (let round = 0; round < 60; round++) {
    weighed = effects.slice()
    inverse = solveWeighted(cells, scale, free, effects)
    let moved = 0
    for (let i = 0; i < size; i++) moved = Math.max(moved, Math.abs(effects[i]! - weighed[i]!))
    if (scale === null || scale === 0 || moved < 1e-12) break
  }
  const solved = effects.slice()

  const anchors = centerColumns(effects, group, counts, rows)
  const variance = sandwich(cells, { solved, weighed }, inverse, free, scale)
  const result: TwoWayFit = {
    rows: [],
    columns: Float64Array.from({ length: columns }, (_, j) =>
      counts[rows + j]! > 0 ? effects[rows + j]! : Number.NaN,
    ),
    scale,
    weights: new Float64Array(n),
  }
  for (let k = 0; k < n; k++)
    result.weights[k] = weightOf(y[k]! - weighed[row[k]!]! - weighed[rows + column[k]!]!, scale)
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

/**
 * Variance of row effect + mean of its group's anchor columns (the first member of the contrast is the row). Residuals are about the
 * effects `solved`, the weights they were solved with rest on those about `weighed`.
 */
function sandwich(
  { at, to, first, value }: Cells,
  { solved, weighed }: { solved: Float64Array; weighed: Float64Array },
  inverse: Float64Array,
  free: Int32Array,
  scale: number | null,
): (contrast: number[]) => number {
  const p = Math.round(Math.sqrt(inverse.length))
  // mean of ψ′ over mean of ψ(r)/r: what reweighting alone would overstate
  let slope = 0
  let whole = 0
  for (let c = 0; c < at.length; c++) {
    const [row, column] = [solved[at[c]!]!, solved[to[c]!]!]
    const [oldRow, oldColumn] = [weighed[at[c]!]!, weighed[to[c]!]!]
    for (let k = first[c]!; k < first[c + 1]!; k++) {
      const u = scale ? (value[k]! - row - column) / (BISQUARE * scale) : 0
      slope += Math.abs(u) < 1 ? (1 - u * u) * (1 - 5 * u * u) : 0
      whole += weightOf(value[k]! - oldRow - oldColumn, scale)
    }
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
    for (let c = 0; c < at.length; c++) {
      const a = free[at[c]!]!
      const b = free[to[c]!]!
      const g = direction[a]! + (b < 0 ? 0 : direction[b]!)
      if (g === 0) continue
      const spread = entry(a, a) + entry(b, b) + 2 * entry(a, b)
      const [row, column] = [solved[at[c]!]!, solved[to[c]!]!]
      const [oldRow, oldColumn] = [weighed[at[c]!]!, weighed[to[c]!]!]
      for (let k = first[c]!; k < first[c + 1]!; k++) {
        const weight = weightOf(value[k]! - oldRow - oldColumn, scale)
        const score = (weight * (value[k]! - row - column)) / Math.max(0.05, 1 - weight * spread)
        sum += g * score * (g * score)
      }
    }
    return sum / ratio
  }
}
