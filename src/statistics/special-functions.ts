/**
 * Gamma, beta and error functions to near machine precision, for positive real arguments.
 *
 * The prefactors of the incomplete functions are taken as binomial and Poisson densities by the saddle-point form of
 * C. Loader, "Fast and Accurate Computation of Binomial Probabilities" (2000), which keeps its digits for large counts
 * where a difference of log-gammas loses them.
 */

const LN_SQRT_2PI = 0.9189385332046727
const EPSILON = 2.220446049250313e-16

/** Tail of Stirling's series, ln n! − [(n + ½) ln n − n + ½ ln 2π], for n > 15 (Abramowitz and Stegun 6.1.41). */
function stirlingTail(n: number): number {
  const m = n * n
  return (1 / 12 - (1 / 360 - (1 / 1260 - (1 / 1680 - 1 / 1188 / m) / m) / m) / m) / n
}

/** ln Γ(x), x > 0. Arguments below 16 are moved up by the recurrence Γ(x + 1) = x Γ(x). */
export function lnGamma(x: number): number {
  if (!(x > 0)) return Number.NaN
  let product = 1
  let y = x
  while (y < 16) {
    product *= y
    y += 1
  }
  return (y - 0.5) * Math.log(y) - y + LN_SQRT_2PI + stirlingTail(y) - Math.log(product)
}

/** Error of Stirling's formula for n!, n > 0. */
function stirlingError(n: number): number {
  return n > 15 ? stirlingTail(n) : lnGamma(n + 1) - (n + 0.5) * Math.log(n) + n - LN_SQRT_2PI
}

/** Deviance term x ln(x/m) + m − x, without cancellation near x = m. */
function devianceTerm(x: number, m: number): number {
  if (Math.abs(x - m) >= 0.1 * (x + m)) return x * Math.log(x / m) + m - x
  const v = (x - m) / (x + m)
  let sum = (x - m) * v
  let term = 2 * x * v
  for (let j = 1; j < 1000; j++) {
    term *= v * v
    const next = sum + term / (2 * j + 1)
    if (next === sum) break
    sum = next
  }
  return sum
}

/** x^a e^−x / Γ(a + 1), a > 0, x > 0. */
export function poissonDensity(a: number, x: number): number {
  return Math.exp(-stirlingError(a) - devianceTerm(a, x)) / Math.sqrt(2 * Math.PI * a)
}

/** Γ(a+b+1)/(Γ(a+1)Γ(b+1)) x^a (1−x)^b, a > 0, b > 0, 0 < x < 1. */
function binomialDensity(a: number, b: number, x: number): number {
  const n = a + b
  const log =
    stirlingError(n) -
    stirlingError(a) -
    stirlingError(b) -
    devianceTerm(a, n * x) -
    devianceTerm(b, n * (1 - x))
  return Math.exp(log) * Math.sqrt(n / (2 * Math.PI * a * b))
}

/** Density of the beta distribution at x, a > 0, b > 0, 0 < x < 1. */
export function betaDensity(x: number, a: number, b: number): number {
  return (binomialDensity(a, b, x) * ((a * b) / (a + b))) / (x * (1 - x))
}

/** Lower and upper regularised incomplete gamma functions [P(a, x), Q(a, x)], a > 0, x ≥ 0. */
export function incompleteGamma(a: number, x: number): [number, number] {
  if (!(a > 0) || !(x >= 0)) return [Number.NaN, Number.NaN]
  if (x === 0) return [0, 1]
  if (x === Number.POSITIVE_INFINITY) return [1, 0]
  const front = poissonDensity(a, x)
  if (x < a + 1) {
    let sum = 1
    let term = 1
    for (let n = 1; n < 1e6; n++) {
      term *= x / (a + n)
      sum += term
      if (term < sum * EPSILON) break
    }
    const lower = Math.min(1, front * sum)
    return [lower, 1 - lower]
  }
  // Lentz's continued fraction (Abramowitz and Stegun 6.5.31)
  let b = x + 1 - a
  let c = 1e300
  let d = 1 / b
  let h = d
  for (let i = 1; i < 1e6; i++) {
    const an = -i * (i - a)
    b += 2
    d = 1 / (an * d + b || 1e-300)
    c = b + an / c || 1e-300
    h *= d * c
    if (Math.abs(d * c - 1) < EPSILON) break
  }
  const upper = Math.min(1, front * a * h)
  return [1 - upper, upper]
}

/** Continued fraction of the incomplete beta function (Abramowitz and Stegun 26.5.8), by Lentz. */
function betaFraction(x: number, a: number, b: number): number {
  let c = 1
  let d = 1 / (1 - ((a + b) * x) / (a + 1) || 1e-300)
  let h = d
  for (let m = 1; m < 1e6; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m))
    d = 1 / (1 + even * d || 1e-300)
    c = 1 + even / c || 1e-300
    h *= d * c
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1))
    d = 1 / (1 + odd * d || 1e-300)
    c = 1 + odd / c || 1e-300
    h *= d * c
    if (Math.abs(d * c - 1) < EPSILON) break
  }
  return h
}

/** Regularised incomplete beta function I_x(a, b), a > 0, b > 0, 0 ≤ x ≤ 1. */
export function incompleteBeta(x: number, a: number, b: number): number {
  if (!(a > 0) || !(b > 0) || !(x >= 0) || !(x <= 1)) return Number.NaN
  if (x === 0 || x === 1) return x
  const density = binomialDensity(a, b, x)
  return x < (a + 1) / (a + b + 2)
    ? ((density * b) / (a + b)) * betaFraction(x, a, b)
    : 1 - ((density * a) / (a + b)) * betaFraction(1 - x, b, a)
}

/** Complementary error function, any real x. */
export function erfc(x: number): number {
  if (Number.isNaN(x)) return Number.NaN
  const [lower, upper] = incompleteGamma(0.5, x * x)
  return x >= 0 ? upper : 1 + lower
}
