import { studentQuantile } from './distributions.ts'
import { mean, squaredDeviations } from './moments.ts'
import { stableDot } from './sums.ts'

export interface LineFit {
  n: number
  intercept: number
  slope: number
  interceptSd: number
  slopeSd: number
  residualSd: number
  rSquared: number
  /** Sum of squared residuals, and of squares explained by the line. */
  sse: number
  ssr: number
  /** F statistic of the slope against none; Infinity for an exact fit. */
  f: number
  df: number
}

/**
 * Least-squares line y = intercept + slope·x with standard deviations of both (Draper and Smith, Applied Regression Analysis;
 * the figures of NIST StRD). Arrays of equal length. Null with fewer than three points or one single x, since no spread can be judged.
 */
export function fitLine(x: ArrayLike<number>, y: ArrayLike<number>): LineFit | null {
  const n = x.length
  if (y.length !== n) throw new RangeError(`a line needs as many x as y, got ${n} and ${y.length}`)
  const mx = mean(x)
  const my = mean(y)
  if (n < 3 || mx === null || my === null) return null
  const dx = Float64Array.from(x, (v) => v - mx)
  const dy = Float64Array.from(y, (v) => v - my)
  const sxx = squaredDeviations(x)
  const syy = squaredDeviations(y)
  if (sxx === 0) return null
  const slope = stableDot(dx, dy) / sxx
  const intercept = my - slope * mx
  const residuals = dy.map((v, i) => v - slope * dx[i]!)
  const sse = stableDot(residuals, residuals)
  const ssr = slope * slope * sxx
  const df = n - 2
  const variance = sse / df
  return {
    n,
    intercept,
    slope,
    interceptSd: Math.sqrt(variance * (1 / n + (mx * mx) / sxx)),
    slopeSd: Math.sqrt(variance / sxx),
    residualSd: Math.sqrt(variance),
    rSquared: syy === 0 ? 1 : 1 - sse / syy,
    sse,
    ssr,
    f: ssr / variance,
    df,
  }
}

/** t intervals of intercept and slope. */
export function lineIntervals(
  fit: LineFit,
  confidence = 0.95,
): { intercept: [number, number]; slope: [number, number] } {
  const t = studentQuantile(0.5 + confidence / 2, fit.df)
  return {
    intercept: [fit.intercept - t * fit.interceptSd, fit.intercept + t * fit.interceptSd],
    slope: [fit.slope - t * fit.slopeSd, fit.slope + t * fit.slopeSd],
  }
}
