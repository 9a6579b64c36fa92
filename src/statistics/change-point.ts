export interface ChangePoint {
  /** Index of the first value after the change. */
  index: number
  low: number
  high: number
}

export interface ChangePointOptions {
  /** Center and standard deviation before the change. */
  center: number
  sd: number
  /** Values are winsorised at this many standard deviations about the center, then about the new level. */
  clip?: number
  /** First index that may be the change. */
  from?: number
  /** Log-likelihood below the best that still belongs to the interval. */
  drop?: number
}

/**
 * Most likely start of a lasting shift of the mean that ends the series, with a likelihood interval.
 *
 * For a change at k the mean after it is estimated from the values k..n − 1; the profile log-likelihood is
 * (n − k) · (mean after − center)² / (2 sd²) (Hinkley, Biometrika 57, 1970; Pignatiello and Samuel, J. Quality Technology 33, 2001,
 * for its use after an alarm). The interval holds the indices whose log-likelihood lies within `drop` of the best.
 *
 * `values`: the series up to and including the alarm.
 */
export function changePoint(
  values: Float64Array,
  { center, sd, clip = 2.5, from = 0, drop = 2.3 }: ChangePointOptions,
): ChangePoint {
  const n = values.length
  const gain = new Float64Array(n)
  let sum = 0
  let best = n - 1
  for (let k = n - 1; k >= from; k--) {
    const z = sd > 0 ? (values[k]! - center) / sd : 0
    sum += Math.max(-clip - 1, Math.min(clip + 1, z))
    gain[k] = (sum * sum) / (2 * (n - k))
    if (gain[k]! > gain[best]!) best = k
  }
  let low = best
  let high = best
  for (let k = from; k < n; k++) {
    if (gain[k]! < gain[best]! - drop) continue
    low = Math.min(low, k)
    high = Math.max(high, k)
  }
  return { index: best, low, high }
}
