import { mean } from './moments.ts'

/** Textbook control charts (NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2 and 6.3.3). */

export interface EwmaChart {
  /** z[t] = λ x[t] + (1 − λ) z[t − 1]; one per value. */
  ewma: Float64Array
  center: number
  /** Asymptotic limits, as the handbook uses. */
  upper: number
  lower: number
  /** First value outside the limits, or null. */
  alarmIndex: number | null
}

/** EWMA chart with known center and standard deviation (e-Handbook 6.3.2.4). 0 < lambda ≤ 1; width in standard deviations. */
export function ewmaChart(
  values: ArrayLike<number>,
  { center, sd, lambda = 0.3, width = 3 }: { center: number; sd: number; lambda?: number; width?: number },
): EwmaChart {
  if (!(lambda > 0 && lambda <= 1)) throw new RangeError(`an EWMA weight must lie in 0..1, got ${lambda}`)
  const half = width * sd * Math.sqrt(lambda / (2 - lambda))
  const ewma = new Float64Array(values.length)
  let z = center
  let alarmIndex: number | null = null
  for (let t = 0; t < values.length; t++) {
    z = lambda * values[t]! + (1 - lambda) * z
    ewma[t] = z
    if (alarmIndex === null && Math.abs(z - center) > half) alarmIndex = t
  }
  return { ewma, center, upper: center + half, lower: center - half, alarmIndex }
}

export interface IndividualsChart {
  center: number
  upper: number
  lower: number
  movingRangeMean: number
  movingRangeUpper: number
}

/** Individuals and moving-range chart (e-Handbook 6.3.2.2: d2 = 1.128, D4 = 3.267). Null with fewer than two values. */
export function individualsChart(values: ArrayLike<number>): IndividualsChart | null {
  const n = values.length
  if (n < 2) return null
  const center = mean(values)!
  const ranges = new Float64Array(n - 1)
  for (let i = 0; i + 1 < n; i++) ranges[i] = Math.abs(values[i + 1]! - values[i]!)
  const movingRangeMean = mean(ranges)!
  const half = (3 * movingRangeMean) / 1.128
  return {
    center,
    upper: center + half,
    lower: center - half,
    movingRangeMean,
    movingRangeUpper: 3.267 * movingRangeMean,
  }
}

export interface ProportionsChart {
  center: number
  /** Limits per sample, inside [0, 1]. */
  upper: Float64Array
  lower: Float64Array
}

/** p-chart of counts out of sample sizes (e-Handbook 6.3.3.2). Null if nothing was sampled. */
export function proportionsChart(
  counts: ArrayLike<number>,
  sizes: ArrayLike<number>,
): ProportionsChart | null {
  if (counts.length !== sizes.length) throw new RangeError('a p-chart needs a sample size per count')
  let hits = 0
  let all = 0
  for (let i = 0; i < counts.length; i++) {
    hits += counts[i]!
    all += sizes[i]!
  }
  if (all === 0) return null
  const center = hits / all
  const half = (n: number): number =>
    n > 0 ? 3 * Math.sqrt((center * (1 - center)) / n) : Number.POSITIVE_INFINITY
  return {
    center,
    upper: Float64Array.from(sizes, (n) => Math.min(1, center + half(n))),
    lower: Float64Array.from(sizes, (n) => Math.max(0, center - half(n))),
  }
}
