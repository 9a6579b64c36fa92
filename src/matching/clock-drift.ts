/** A clock's error over a stretch of time: `at` seconds early or late at time t. */
export interface Drift {
  readonly middle: number
  readonly level: number
  readonly slope: number
}

export const noDrift: Drift = { middle: 0, level: 0, slope: 0 }

export function driftAt(drift: Drift, time: number): number {
  return drift.level + drift.slope * (time - drift.middle)
}

const leastPairs = 4
const leastForSlope = 9
const leastLevelSeconds = 20
const leastSwingSeconds = 75

/**
 * What is left between a source's times and the events it paired with, as a level or, where it grows over the stretch,
 * a resistant line through the medians of the outer thirds (Tukey 1977): a few wrong pairs do not move it.
 * `times` ascend; seconds throughout.
 */
export function fitDrift(times: readonly number[], residuals: readonly number[]): Drift {
  const count = times.length
  if (count < leastPairs) return noDrift
  const level = median(residuals)
  const middle = times[Math.floor(count / 2)]!
  if (count >= leastForSlope) {
    const third = Math.floor(count / 3)
    const early = median(residuals.slice(0, third))
    const late = median(residuals.slice(count - third))
    const span = median(times.slice(count - third)) - median(times.slice(0, third))
    const swing = late - early
    if (span > 1800 && Math.abs(swing) >= leastSwingSeconds) {
      const slope = swing / span
      const flat = residuals.map((residual, i) => residual - slope * (times[i]! - middle))
      return { middle, level: median(flat), slope }
    }
  }
  return Math.abs(level) < leastLevelSeconds ? noDrift : { middle, level, slope: 0 }
}

/** Ordinary median; NaN for none. */
export function median(values: readonly number[]): number {
  if (values.length === 0) return Number.NaN
  const sorted = Float64Array.from(values).sort()
  const half = sorted.length >> 1
  return sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2
}
