import { chiSquaredQuantile, normalQuantile } from './distributions.ts'

/**
 * Power-law process (Crow–AMSAA) for the failures of one repairable thing: expected failures by time t are λ t^β.
 * Source: MIL-HDBK-189 (1981), appendix C; NIST/SEMATECH e-Handbook of Statistical Methods, chapter 8.
 */

export interface PowerLawFit {
  n: number
  /** Maximum-likelihood shape and scale. */
  beta: number
  lambda: number
  /** (n − 1)/n β for a time-terminated, (n − 2)/n β for a failure-terminated record. */
  betaUnbiased: number
  /** NIST's growth slope 1 − (n − 1)/Σ ln(T/t), from the modified estimate. */
  growth: number
  /** Instantaneous failure rate and mean time between failures at the end, from β. */
  intensity: number
  mtbf: number
  /** MTBF at the end from the modified estimate, as NIST reports it. */
  mtbfModified: number
  /** 2 Σ ln(T/t): chi-squared with `trendDf` degrees of freedom without trend (MIL-HDBK-189). */
  trend: number
  trendDf: number
  end: number
  isFailureTerminated: boolean
}

function checked(times: ArrayLike<number>, end: number): Float64Array {
  const t = Float64Array.from(times).sort()
  if (!(end > 0) || (t.length > 0 && (!(t[0]! > 0) || !(t[t.length - 1]! <= end)))) {
    throw new RangeError(`failure times must lie between 0 and the end of the record (${end})`)
  }
  return t
}

/**
 * Fits the failure times of one record. `end` is the end of watching; leave it out when the record stops at its last failure.
 * Null with fewer than two failures (three if failure-terminated).
 */
export function fitPowerLaw(times: ArrayLike<number>, end?: number): PowerLawFit | null {
  const n = times.length
  const isFailureTerminated = end === undefined
  if (n < (isFailureTerminated ? 3 : 2)) return null
  const t = checked(times, end ?? Math.max(...Array.from(times)))
  const last = end ?? t[n - 1]!
  let logs = 0
  for (const v of t) logs += Math.log(last / v)
  if (logs === 0) return null
  const beta = n / logs
  const modified = (n - 1) / logs
  const lambda = n / last ** beta
  const intensity = lambda * beta * last ** (beta - 1)
  return {
    n,
    beta,
    lambda,
    betaUnbiased: (beta * (isFailureTerminated ? n - 2 : n - 1)) / n,
    growth: 1 - modified,
    intensity,
    mtbf: 1 / intensity,
    mtbfModified: last / (n * modified),
    trend: 2 * logs,
    trendDf: isFailureTerminated ? 2 * (n - 1) : 2 * n,
    end: last,
    isFailureTerminated,
  }
}

/** Chi-squared interval of β (MLE). */
export function betaInterval(fit: PowerLawFit, confidence = 0.95): [number, number] {
  const tail = (1 - confidence) / 2
  const scale = fit.beta / (2 * fit.n)
  return [chiSquaredQuantile(tail, fit.trendDf) * scale, chiSquaredQuantile(1 - tail, fit.trendDf) * scale]
}

/** NIST's normal-theory interval of the modified MTBF at the end of a time-terminated record (e-Handbook 8.4.5.1). */
export function mtbfInterval(fit: PowerLawFit, confidence = 0.8): [number, number] {
  const z = -normalQuantile((1 - confidence) / 2)
  const n = fit.n
  const low = n + (z * z) / 4 + Math.sqrt((n * z * z) / 2 + z ** 4 / 16)
  const high = n - z * Math.sqrt(n / 2)
  return [
    (fit.mtbfModified * n * (n - 1)) / low ** 2,
    high > 0 ? (fit.mtbfModified * n * (n - 1)) / high ** 2 : Number.POSITIVE_INFINITY,
  ]
}

/** Cramér–von Mises statistic of the fit with the unbiased β (MIL-HDBK-189, appendix C); the last failure of a failure-terminated record is left out. */
export function cramerVonMises(times: ArrayLike<number>, fit: PowerLawFit): number {
  const t = checked(times, fit.end)
  const m = fit.isFailureTerminated ? t.length - 1 : t.length
  let sum = 1 / (12 * m)
  for (let i = 0; i < m; i++) sum += ((t[i]! / fit.end) ** fit.betaUnbiased - (2 * i + 1) / (2 * m)) ** 2
  return sum
}

/** Laplace's trend statistic, standard normal without trend; negative means that failures grow rarer. Null without failures. */
export function laplaceTrend(times: ArrayLike<number>, end?: number): number | null {
  const t = checked(times, end ?? Math.max(0, ...Array.from(times)))
  const n = end === undefined ? t.length - 1 : t.length
  if (n < 1) return null
  const last = end ?? t[t.length - 1]!
  let sum = 0
  for (let i = 0; i < n; i++) sum += t[i]!
  return (sum / n - last / 2) / (last * Math.sqrt(1 / (12 * n)))
}
