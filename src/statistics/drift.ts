import { type ChangePoint, changePoint } from './change-point.ts'
import { MAD_TO_SD, median } from './quantiles.ts'

/**
 * Drift detector for a run of relative errors whose center and spread are not known beforehand.
 *
 * Two two-sided EWMA charts run side by side: a quick one for steps and a slow one for creeping. Both compare with the center and
 * spread of the run's own stable period: its first `baseline` values, and later all values older than `guard`, so that limits that
 * are wide on a short baseline (the variance of the center is part of them) narrow while the run stays stable. Values are
 * winsorised at `clip` standard deviations, so that one wild value cannot alarm.
 *
 * Weights and widths were chosen by simulation (800 runs per figure, normal noise of 3 %, mean 1 %, fixed seeds; tests/statistics
 * repeats a part of it). Stable values per false alarm, baseline 20, 30, 60, 150, 500 values watched: 731, 733, 681, 633; baseline
 * 30, 2,000 watched: 635; with the tails of Student's t on 5 degrees of freedom: 560; with one value in a hundred wild by ten times
 * the noise: 645. Median values from the start of a 3 % step to the alarm: 15 when it starts right after a baseline of 30, 14 and 12
 * after 40 and 100 stable values more, 10 after a baseline of 150. Of a ramp of 1 % per 20 values: 51, 47, 44 and 43.
 */
export interface DriftOptions {
  /** Values that make up the first stable period, at least 10. */
  baseline: number
  /** Values before the present that may never join the stable period. */
  guard: number
  clip: number
  /** EWMA weights and limit widths (standard deviations) of the two charts. */
  quick: { lambda: number; width: number }
  slow: { lambda: number; width: number }
}

export const DRIFT_DEFAULTS: DriftOptions = {
  baseline: 30,
  guard: 40,
  clip: 2.5,
  quick: { lambda: 0.1, width: 2.95 },
  slow: { lambda: 0.03, width: 2.5 },
}

export interface DriftSeries {
  ewma: Float64Array
  /** Limits per value; NaN inside the baseline. */
  upper: Float64Array
  lower: Float64Array
}

export interface DriftAlarm {
  /** Index of the value that crossed a limit. */
  index: number
  chart: 'quick' | 'slow'
  direction: 'high' | 'low'
  /** First index of the run that led to the alarm: the value after the alarming chart last stood on the other side of the center. */
  runStart: number
  /** Most likely first value of the change, with an interval. */
  change: ChangePoint
}

export interface DriftChart {
  /** `learning`: not yet more values than the baseline, no verdict. */
  status: 'learning' | 'stable' | 'alarm'
  /** Center and standard deviation of the stable period at the alarm or the end; null while learning. */
  center: number | null
  sd: number | null
  /** Values in that stable period. */
  stableCount: number
  quick: DriftSeries
  slow: DriftSeries
  alarm: DriftAlarm | null
}

/** Standard deviation of a standard normal winsorised at ±2.5, by which a winsorised spread is divided. */
const WINSORISED_SD = 0.9798

/** Center and spread of values, winsorised at 2.5 robust standard deviations about the median. */
export function stableMoments(values: Float64Array): { center: number; sd: number } {
  const middle = median(values)!
  const rough = median(values.map((v) => Math.abs(v - middle)))! * MAD_TO_SD
  if (!(rough > 0)) {
    const mean = values.reduce((sum, v) => sum + v, 0) / values.length
    const spread = Math.sqrt(
      values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / Math.max(1, values.length - 1),
    )
    return { center: middle, sd: spread }
  }
  let sum = 0
  let squares = 0
  for (const v of values) {
    const d = Math.max(-2.5 * rough, Math.min(2.5 * rough, v - middle))
    sum += d
    squares += d * d
  }
  const n = values.length
  const variance = (squares - (sum * sum) / n) / (n - 1)
  return { center: middle + sum / n, sd: Math.sqrt(variance) / WINSORISED_SD }
}

/**
 * Charts a run of values in time order, from its start (the begin of records or the last adjustment), up to the first alarm; the
 * series go on to the end with the stable period frozen at the alarm.
 *
 * `values`: finite, missing ones left out by the caller. Throws RangeError for a baseline under 10 or a value that is no number.
 */
export function driftChart(values: ArrayLike<number>, options: Partial<DriftOptions> = {}): DriftChart {
  const o = { ...DRIFT_DEFAULTS, ...options }
  if (!(o.baseline >= 10))
    throw new RangeError(`a drift chart needs a baseline of at least 10 values, got ${o.baseline}`)
  const x = Float64Array.from(values)
  if (!x.every(Number.isFinite))
    throw new RangeError('a drift chart needs finite values; leave missing ones out')
  const n = x.length
  const series = (): DriftSeries => ({
    ewma: new Float64Array(n).fill(Number.NaN),
    upper: new Float64Array(n).fill(Number.NaN),
    lower: new Float64Array(n).fill(Number.NaN),
  })
  const charts = [
    { name: 'quick' as const, ...o.quick, level: 0, fade: 1, crossed: o.baseline, series: series() },
    { name: 'slow' as const, ...o.slow, level: 0, fade: 1, crossed: o.baseline, series: series() },
  ]
  const done = (status: DriftChart['status'], stable: { center: number; sd: number } | null): DriftChart => ({
    status,
    center: stable?.center ?? null,
    sd: stable?.sd ?? null,
    stableCount: stable ? count : 0,
    quick: charts[0]!.series,
    slow: charts[1]!.series,
    alarm,
  })
  let alarm: DriftAlarm | null = null
  let count = o.baseline
  if (n <= o.baseline) return done('learning', null)
  let stable = stableMoments(x.subarray(0, count))
  for (const chart of charts) chart.level = stable.center

  for (let t = o.baseline; t < n; t++) {
    const old = t - o.guard
    if (alarm === null && old >= Math.max(count + 5, 1.1 * count)) {
      count = old
      stable = stableMoments(x.subarray(0, count))
    }
    const { center, sd } = stable
    const held = Math.max(center - o.clip * sd, Math.min(center + o.clip * sd, x[t]!))
    for (const chart of charts) {
      const before = chart.level
      chart.level = chart.lambda * held + (1 - chart.lambda) * before
      chart.fade *= (1 - chart.lambda) ** 2
      const variance = (chart.lambda / (2 - chart.lambda)) * (1 - chart.fade) + 1 / count
      const half = chart.width * sd * Math.sqrt(variance)
      chart.series.ewma[t] = chart.level
      chart.series.upper[t] = center + half
      chart.series.lower[t] = center - half
      if (before - center > 0 !== chart.level - center > 0) chart.crossed = t
      if (alarm === null && sd > 0 && Math.abs(chart.level - center) > half) {
        alarm = {
          index: t,
          chart: chart.name,
          direction: chart.level > center ? 'high' : 'low',
          runStart: chart.crossed,
          change: changePoint(x.subarray(0, t + 1), { clip: o.clip, center, sd, from: o.baseline }),
        }
      }
    }
  }
  return done(alarm ? 'alarm' : 'stable', stable)
}
