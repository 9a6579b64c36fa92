import { stableSum } from './sums.ts'

/** Mean, spread and lag-1 autocorrelation without cancellation; order of the data changes only the autocorrelation. */

/** Mean of the values; null if there are none. */
export function mean(values: ArrayLike<number>): number | null {
  return values.length === 0 ? null : stableSum(values) / values.length
}

function deviations(values: ArrayLike<number>, center: number): Float64Array {
  const out = new Float64Array(values.length)
  for (let i = 0; i < values.length; i++) out[i] = values[i]! - center
  return out
}

function squares(values: Float64Array): Float64Array {
  const out = new Float64Array(values.length)
  for (let i = 0; i < values.length; i++) out[i] = values[i]! * values[i]!
  return out
}

/**
 * Sum of squared deviations from the mean: two passes, less the square of the mean deviation that rounding of the mean left
 * (Chan, Golub and LeVeque, "Algorithms for Computing the Sample Variance", 1983). 0 for fewer than two values.
 */
export function squaredDeviations(values: ArrayLike<number>): number {
  const n = values.length
  if (n < 2) return 0
  const d = deviations(values, stableSum(values) / n)
  const left = stableSum(d)
  return Math.max(0, stableSum(squares(d)) - (left * left) / n)
}

/** Sample standard deviation (divisor n − 1); null for fewer than two values. */
export function sampleSd(values: ArrayLike<number>): number | null {
  return values.length < 2 ? null : Math.sqrt(squaredDeviations(values) / (values.length - 1))
}

/** Lag-1 autocorrelation as NIST StRD defines it; null for fewer than two values or no spread. */
export function lag1Autocorrelation(values: ArrayLike<number>): number | null {
  const n = values.length
  if (n < 2) return null
  const d = deviations(values, stableSum(values) / n)
  const whole = stableSum(squares(d))
  if (whole === 0) return null
  const products = new Float64Array(n - 1)
  for (let i = 0; i + 1 < n; i++) products[i] = d[i]! * d[i + 1]!
  return stableSum(products) / whole
}
