import { leastSquares } from './least-squares.ts'
import { MAD_TO_SD, median } from './quantiles.ts'

export interface HuberFit {
  /** Intercept first, then one coefficient per column. */
  coefficients: Float64Array
  /** Asymptotic standard deviations (Huber 1981, section 7.6, the form with the factor K²). */
  sds: Float64Array
  scale: number
  weights: Float64Array
  residuals: Float64Array
  rounds: number
}

/**
 * Huber M-estimate of a linear regression with an intercept, by iteratively reweighted least squares; scale is the median
 * absolute residual over 0.6745, renewed each round (P. J. Huber, Robust Statistics, 1981).
 *
 * `x`: one array of n values per column. k = 1.345 gives 95 % efficiency for normal errors.
 */
export function huberRegression(
  x: readonly ArrayLike<number>[],
  y: ArrayLike<number>,
  { k = 1.345, rounds = 200, tolerance = 1e-12 }: { k?: number; rounds?: number; tolerance?: number } = {},
): HuberFit {
  const n = y.length
  const p = x.length + 1
  const scaleOf = (residuals: Float64Array): number => median(residuals.map(Math.abs))! * MAD_TO_SD
  let fit = leastSquares(x, y)
  let scale = scaleOf(fit.residuals)
  let weights = new Float64Array(n).fill(1)
  let round = 0
  for (; round < rounds && scale > 0; round++) {
    weights = fit.residuals.map((e) => Math.min(1, (k * scale) / Math.abs(e) || 1))
    const next = leastSquares(x, y, weights)
    const moved = next.coefficients.reduce(
      (most, c, i) => Math.max(most, Math.abs(c - fit.coefficients[i]!) / (Math.abs(c) + 1e-300)),
      0,
    )
    fit = next
    scale = scaleOf(fit.residuals)
    if (moved < tolerance) break
  }
  let inside = 0
  let squared = 0
  for (const e of fit.residuals) {
    if (Math.abs(e) <= k * scale) inside += 1
    squared += Math.min(Math.abs(e), k * scale) ** 2
  }
  const share = inside / n
  const inflation = share > 0 ? 1 + (p / n) * ((1 - share) / share) : 1
  const variance = share > 0 ? (inflation ** 2 * (squared / (n - p))) / share ** 2 : 0
  const plain = leastSquares(x, y).inverseGram
  return {
    coefficients: fit.coefficients,
    sds: Float64Array.from({ length: p }, (_, i) => Math.sqrt(variance * plain[i * p + i]!)),
    scale,
    weights,
    residuals: fit.residuals,
    rounds: round,
  }
}
