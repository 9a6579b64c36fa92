/**
 * Sample quantiles of types 1 to 9 (Hyndman and Fan, "Sample Quantiles in Statistical Packages", The American Statistician
 * 50, 1996), weighted quantiles, median and MAD. Inputs are never changed; an empty sample gives null; NaN is refused.
 */

export type QuantileType = 1 | 2 | 3 | 4 | 5 | 6 | 7 | 8 | 9

/** A sorted copy. Throws RangeError if a value is NaN, since a missing value is not a number to rank. */
export function sortedCopy(values: ArrayLike<number>): Float64Array {
  const sorted = Float64Array.from(values).sort()
  if (sorted.length > 0 && Number.isNaN(sorted[sorted.length - 1]!)) {
    throw new RangeError('a quantile was asked of values that include NaN; leave missing values out first')
  }
  return sorted
}

/** Value at fractional rank h (counted from 1) between neighbours, the ends held. */
function atRank(sorted: Float64Array, h: number): number {
  const last = sorted.length - 1
  const whole = Math.floor(h)
  const low = sorted[Math.min(Math.max(whole - 1, 0), last)]!
  const high = sorted[Math.min(Math.max(whole, 0), last)]!
  return h === whole || low === high ? low : low + (h - whole) * (high - low)
}

/** Offsets a, b of the continuous types: h = a + p (n + b). */
const CONTINUOUS: Record<4 | 5 | 6 | 7 | 8 | 9, [number, number]> = {
  4: [0, 0],
  5: [0.5, 0],
  6: [0, 1],
  7: [1, -1],
  8: [1 / 3, 1 / 3],
  9: [3 / 8, 1 / 4],
}

/** A rank within a few bits of a whole number is that number (0.1 × 30 is not quite 3). */
function snap(h: number): number {
  const near = Math.round(h)
  return Math.abs(h - near) <= 4 * Number.EPSILON * Math.max(1, Math.abs(h)) ? near : h
}

/** Quantile of values that are already in ascending order; 0 ≤ p ≤ 1. Null if there are none. */
export function quantileSorted(sorted: Float64Array, p: number, type: QuantileType = 7): number | null {
  if (!(p >= 0 && p <= 1)) throw new RangeError(`a quantile level must lie in 0..1, got ${p}`)
  const n = sorted.length
  if (n === 0) return null
  if (type >= 4) {
    const [a, b] = CONTINUOUS[type as 4 | 5 | 6 | 7 | 8 | 9]
    return atRank(sorted, snap(a + p * (n + b)))
  }
  const h = snap(type === 3 ? n * p - 0.5 : n * p)
  const j = Math.floor(h)
  const isWhole = h === j
  if (type === 1) return atRank(sorted, isWhole ? j : j + 1)
  if (type === 2) return isWhole ? (atRank(sorted, j) + atRank(sorted, j + 1)) / 2 : atRank(sorted, j + 1)
  return atRank(sorted, isWhole && j % 2 === 0 ? j : j + 1)
}

/** Quantile of a sample in any order; 0 ≤ p ≤ 1; type 7 unless told. Null if the sample is empty. */
export function quantile(values: ArrayLike<number>, p: number, type: QuantileType = 7): number | null {
  return quantileSorted(sortedCopy(values), p, type)
}

/** Quantiles at several levels from one sort. Null if the sample is empty. */
export function quantiles(
  values: ArrayLike<number>,
  levels: readonly number[],
  type: QuantileType = 7,
): number[] | null {
  const sorted = sortedCopy(values)
  return sorted.length === 0 ? null : levels.map((p) => quantileSorted(sorted, p, type)!)
}

/** The ordinary median; null if the sample is empty. */
export function median(values: ArrayLike<number>): number | null {
  return quantile(values, 0.5, 2)
}

/**
 * Median absolute deviation from the median, times `scale`; 1.482602218505602 (= 1/Φ⁻¹(¾)) makes it estimate the standard
 * deviation of a normal sample. Null if the sample is empty.
 */
export function medianAbsoluteDeviation(values: ArrayLike<number>, scale = 1): number | null {
  const center = median(values)
  if (center === null) return null
  return median(Float64Array.from(values, (v) => Math.abs(v - center)))! * scale
}

/** Makes a MAD the standard deviation of a normal sample. */
export const MAD_TO_SD = 1.482602218505602

/**
 * Weighted quantile of type 1: the least value whose cumulative weight reaches p of the whole, so that whole-number weights
 * equal replication. Weights ≥ 0, same length. Null if the total weight is 0.
 */
export function weightedQuantile(
  values: ArrayLike<number>,
  weights: ArrayLike<number>,
  p: number,
): number | null {
  if (values.length !== weights.length) {
    throw new RangeError(
      `weighted quantile needs a weight per value, got ${values.length} values and ${weights.length} weights`,
    )
  }
  if (!(p >= 0 && p <= 1)) throw new RangeError(`a quantile level must lie in 0..1, got ${p}`)
  const order = Array.from({ length: values.length }, (_, i) => i)
    .filter((i) => weights[i]! > 0)
    .sort((a, b) => values[a]! - values[b]!)
  let total = 0
  for (const i of order) total += weights[i]!
  if (order.length === 0) return null
  const target = snap(p * total)
  let reached = 0
  for (const i of order) {
    reached += weights[i]!
    if (snap(reached) >= target) return values[i]!
  }
  return values[order[order.length - 1]!]!
}
