import { studentQuantile } from './distributions.ts'
import { mean, sampleSd } from './moments.ts'

export interface MeanInterval {
  n: number
  mean: number
  /** Sample standard deviation; null for one value. */
  sd: number | null
  /** Ends of Student's t interval; null for one value, since one value has no spread to judge by. */
  low: number | null
  high: number | null
}

/** Mean with its t interval (two-sided, 95 % unless told). Null for no values. */
export function meanInterval(values: ArrayLike<number>, confidence = 0.95): MeanInterval | null {
  const n = values.length
  const center = mean(values)
  if (center === null) return null
  const sd = sampleSd(values)
  if (sd === null) return { n, mean: center, sd: null, low: null, high: null }
  const half = (studentQuantile(0.5 + confidence / 2, n - 1) * sd) / Math.sqrt(n)
  return { n, mean: center, sd, low: center - half, high: center + half }
}

/** The same from count, mean and sample standard deviation that were computed elsewhere. */
export function meanIntervalFrom(
  n: number,
  center: number,
  sd: number | null,
  confidence = 0.95,
): MeanInterval | null {
  if (n <= 0) return null
  if (n < 2 || sd === null) return { n, mean: center, sd: null, low: null, high: null }
  const half = (studentQuantile(0.5 + confidence / 2, n - 1) * sd) / Math.sqrt(n)
  return { n, mean: center, sd, low: center - half, high: center + half }
}

/** Difference of two means, a − b, by Welch's t with Satterthwaite's degrees of freedom; ends null if either has under two values. */
export function meanDifference(
  a: ArrayLike<number>,
  b: ArrayLike<number>,
  confidence = 0.95,
): { difference: number; low: number | null; high: number | null; df: number | null } | null {
  const ma = mean(a)
  const mb = mean(b)
  if (ma === null || mb === null) return null
  const sa = sampleSd(a)
  const sb = sampleSd(b)
  const difference = ma - mb
  if (sa === null || sb === null) return { difference, low: null, high: null, df: null }
  const va = (sa * sa) / a.length
  const vb = (sb * sb) / b.length
  if (va + vb === 0) return { difference, low: difference, high: difference, df: a.length + b.length - 2 }
  const df = (va + vb) ** 2 / ((va * va) / (a.length - 1) + (vb * vb) / (b.length - 1))
  const half = studentQuantile(0.5 + confidence / 2, df) * Math.sqrt(va + vb)
  return { difference, low: difference - half, high: difference + half, df }
}
