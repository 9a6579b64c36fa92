import { normalQuantile } from './distributions.ts'
import { median } from './quantiles.ts'

export interface TheilSenFit {
  slope: number
  /** Ends of Sen's interval of the slope; null when the ranks that it asks for do not exist. */
  slopeLow: number | null
  slopeHigh: number | null
  /** median(y) − slope · median(x) */
  interceptSeparate: number
  /** median(y − slope · x) */
  interceptJoint: number
  slopes: number
}

/** Sizes of groups of equal values. */
function ties(values: ArrayLike<number>): number[] {
  const sizes = new Map<number, number>()
  for (let i = 0; i < values.length; i++) sizes.set(values[i]!, (sizes.get(values[i]!) ?? 0) + 1)
  return [...sizes.values()]
}

/**
 * Median of the slopes of all pairs with unequal x, with the interval from Kendall's S (P. K. Sen, "Estimates of the Regression
 * Coefficient Based on Kendall's Tau", JASA 63, 1968). All pairs are formed: meant for up to a few thousand points.
 * Null if no pair has unequal x.
 */
export function theilSen(x: ArrayLike<number>, y: ArrayLike<number>, confidence = 0.95): TheilSenFit | null {
  const n = x.length
  if (y.length !== n) throw new RangeError(`a line needs as many x as y, got ${n} and ${y.length}`)
  const slopes: number[] = []
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) if (x[i] !== x[j]) slopes.push((y[j]! - y[i]!) / (x[j]! - x[i]!))
  }
  const sorted = Float64Array.from(slopes).sort()
  const slope = median(sorted)
  if (slope === null) return null
  const tied = (sizes: number[]): number => sizes.reduce((sum, k) => sum + k * (k - 1) * (2 * k + 5), 0)
  const variance = (n * (n - 1) * (2 * n + 5) - tied(ties(x)) - tied(ties(y))) / 18
  const reach = -normalQuantile((1 - confidence) / 2) * Math.sqrt(Math.max(0, variance))
  const count = sorted.length
  const low = Math.round((count - reach) / 2) - 1
  const high = Math.round((count + reach) / 2)
  const hasEnds = low >= 0 && high < count
  return {
    slope,
    slopeLow: hasEnds ? sorted[low]! : null,
    slopeHigh: hasEnds ? sorted[high]! : null,
    interceptSeparate: median(y)! - slope * median(x)!,
    interceptJoint: median(Float64Array.from(y, (v, i) => v - slope * x[i]!))!,
    slopes: count,
  }
}
