import { betaDensity, erfc, incompleteBeta, incompleteGamma, poissonDensity } from './special-functions.ts'

/**
 * Distribution functions and quantiles of the normal, Student t, beta, gamma and chi-squared distributions.
 * Quantiles are solved by Newton steps kept inside a bracket, to the last few bits of their distribution function.
 * Arguments outside a distribution's domain give NaN; callers of this room's public functions never see it.
 */

/** Two-sided 95 % point of the standard normal distribution. */
export const Z_95 = 1.959963984540054

/** Root of an increasing function inside [low, high] by safeguarded Newton steps. */
function solve(
  excess: (x: number) => number,
  slope: (x: number) => number,
  low: number,
  high: number,
  start: number,
): number {
  let a = low
  let b = high
  let x = start > a && start < b ? start : (a + b) / 2
  for (let i = 0; i < 400; i++) {
    const f = excess(x)
    if (f === 0) return x
    if (f < 0) a = x
    else b = x
    const newton = x - f / slope(x)
    const next = newton > a && newton < b ? newton : (a + b) / 2
    if (next === x || Math.abs(next - x) <= 1e-16 * Math.abs(x) || next === a || next === b) return next
    x = next
  }
  return x
}

export function normalDensity(x: number): number {
  return Math.exp(-0.5 * x * x) / Math.sqrt(2 * Math.PI)
}

/** P(Z ≤ x), Z standard normal. */
export function normalCdf(x: number): number {
  return 0.5 * erfc(-x / Math.SQRT2)
}

/** Standard normal quantile, 0 ≤ p ≤ 1: a rational start (Abramowitz and Stegun 26.2.23) and three Halley steps in the tail. */
export function normalQuantile(p: number): number {
  if (!(p >= 0 && p <= 1)) return Number.NaN
  if (p === 0 || p === 1) return p === 0 ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY
  if (p > 0.5) return -normalQuantile(1 - p)
  const t = Math.sqrt(-2 * Math.log(p))
  let x =
    (2.515517 + 0.802853 * t + 0.010328 * t * t) / (1 + t * (1.432788 + t * (0.189269 + 0.001308 * t))) - t
  for (let i = 0; i < 3; i++) {
    const u = (normalCdf(x) - p) / normalDensity(x)
    if (!Number.isFinite(u)) break
    x -= u / (1 + 0.5 * x * u)
  }
  return x
}

/** Quantile of the beta distribution with shapes a > 0, b > 0. */
export function betaQuantile(p: number, a: number, b: number): number {
  if (!(a > 0) || !(b > 0) || !(p >= 0 && p <= 1)) return Number.NaN
  if (p === 0 || p === 1) return p
  if (p > 0.5) return 1 - betaQuantile(1 - p, b, a)
  return solve(
    (x) => incompleteBeta(x, a, b) - p,
    (x) => betaDensity(x, a, b),
    0,
    1,
    a / (a + b),
  )
}

/** Quantile of the gamma distribution with the given shape > 0 and scale 1. */
export function gammaQuantile(p: number, shape: number): number {
  if (!(shape > 0) || !(p >= 0 && p <= 1)) return Number.NaN
  if (p === 0 || p === 1) return p === 0 ? 0 : Number.POSITIVE_INFINITY
  let high = shape + 10 * Math.sqrt(shape) + 10
  while (incompleteGamma(shape, high)[0] < p) high *= 2
  return solve(
    (x) => (p <= 0.5 ? incompleteGamma(shape, x)[0] - p : 1 - p - incompleteGamma(shape, x)[1]),
    (x) => (poissonDensity(shape, x) * shape) / x,
    0,
    high,
    shape,
  )
}

/** P(X ≤ x) of a gamma distribution with the given shape and scale 1. */
export function gammaCdf(x: number, shape: number): number {
  return incompleteGamma(shape, Math.max(0, x))[0]
}

/** Quantile of the chi-squared distribution. */
export function chiSquaredQuantile(p: number, df: number): number {
  return 2 * gammaQuantile(p, df / 2)
}

/** P(T ≤ t) of Student's t with df > 0. */
export function studentCdf(t: number, df: number): number {
  const tail = 0.5 * incompleteBeta(df / (df + t * t), df / 2, 0.5)
  return t > 0 ? 1 - tail : tail
}

/** Student t quantile with df > 0 (fractional df allowed). */
export function studentQuantile(p: number, df: number): number {
  if (!(df > 0) || !(p >= 0 && p <= 1)) return Number.NaN
  if (p < 0.5) return -studentQuantile(1 - p, df)
  if (p === 0.5) return 0
  if (p === 1) return Number.POSITIVE_INFINITY
  const near = betaQuantile(2 * p - 1, 0.5, df / 2)
  if (near < 0.5) return Math.sqrt((df * near) / (1 - near))
  const far = betaQuantile(2 * (1 - p), df / 2, 0.5)
  return Math.sqrt((df * (1 - far)) / far)
}
