export interface ChangePoint {
  /** Index of the first value after the change. */
  index: number
  low: number
  high: number
  /** Which of the two explains the values better. */
  shape: 'step' | 'ramp'
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
 * Most likely start of a lasting change of the mean that goes on to the end of the series, with a likelihood interval.
 *
 * Two changes are weighed for every start k: a step, whose profile log-likelihood is S² / 2m for the sum S of the m standardised
 * values from k on (Hinkley, Biometrika 57, 1970; Pignatiello and Samuel, J. Quality Technology 33, 2001, for its use after an
 * alarm), and a ramp from k, for which it is R² / 2Σj² with R the sum of j times the j-th value. The better of the two gives the
 * start; the interval spans all starts at which either lies within `drop` of the best. Values are winsorised at `clip` + 1
 * standard deviations about the center.
 *
 * `values`: the series up to and including the alarm.
 */
export function changePoint(
  values: Float64Array,
  { center, sd, clip = 2.5, from = 0, drop = 2.6 }: ChangePointOptions,
): ChangePoint {
  const n = values.length
  const step = new Float64Array(n)
  const ramp = new Float64Array(n)
  let sum = 0
  let moment = 0
  let squares = 0
  let best = n - 1
  let most = 0
  let shape: ChangePoint['shape'] = 'step'
  for (let k = n - 1; k >= from; k--) {
    const z = sd > 0 ? (values[k]! - center) / sd : 0
    const m = n - k
    sum += Math.max(-clip - 1, Math.min(clip + 1, z))
    moment += sum
    squares += m * m
    step[k] = (sum * sum) / (2 * m)
    ramp[k] = (moment * moment) / (2 * squares)
    const gain = Math.max(step[k]!, ramp[k]!)
    if (gain > most) {
      most = gain
      best = k
      shape = step[k]! >= ramp[k]! ? 'step' : 'ramp'
    }
  }
  let low = best
  let high = best
  for (let k = from; k < n; k++) {
    if (Math.max(step[k]!, ramp[k]!) < most - drop) continue
    low = Math.min(low, k)
    high = Math.max(high, k)
  }
  return { index: best, low, high, shape }
}
