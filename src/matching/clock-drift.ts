import { sortedSpace } from './order.ts'

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
const leastSpanSeconds = 1800
/** A slope is believed from so many of its standard errors on. */
const clearErrors = 1.5
/** Pairs so many standard deviations from the middle are taken for wrong ones. */
const wrongDeviations = 3

/**
 * What is left between a source's times and the events it paired with, as a level or, where it clearly grows over the
 * stretch, a line by least squares; wrong pairs are left out first. `times` ascend; seconds throughout.
 * @param half half the clock's rounding step: its times scatter evenly over it however few they are
 */
export function fitDrift(times: readonly number[], residuals: readonly number[], half: number): Drift {
  if (times.length < leastPairs) return noDrift
  const center = median(residuals)
  const rounding = half / Math.sqrt(3)
  const deviation = Math.max(rounding, 1.4826 * median(residuals.map((value) => Math.abs(value - center))), 5)
  const kept = times.flatMap((_, i) =>
    Math.abs(residuals[i]! - center) <= wrongDeviations * deviation ? [i] : [],
  )
  const count = kept.length
  let [level, middle] = [0, 0]
  for (const i of kept) {
    level += residuals[i]! / count
    middle += times[i]! / count
  }
  let [apart, both, left] = [0, 0, 0]
  for (const i of kept) {
    apart += (times[i]! - middle) ** 2
    both += (times[i]! - middle) * (residuals[i]! - level)
    left += (residuals[i]! - level) ** 2
  }
  const span = times[kept[count - 1]!]! - times[kept[0]!]!
  if (count >= leastForSlope && span > leastSpanSeconds) {
    const slope = both / apart
    const scatter = Math.max(rounding, Math.sqrt(Math.max(0, left - slope * both) / (count - 2)))
    const error = scatter / Math.sqrt(apart)
    if (Math.abs(slope) * span >= leastSwingSeconds && Math.abs(slope) >= clearErrors * error) {
      return {
        middle,
        level: beyondNoise(level, scatter / Math.sqrt(count)),
        slope: beyondNoise(slope, error),
      }
    }
  }
  if (Math.abs(level) < leastLevelSeconds) return noDrift
  const scatter = Math.max(rounding, Math.sqrt(left / Math.max(1, count - 1)))
  const clear = beyondNoise(level, scatter / Math.sqrt(count))
  return clear === 0 ? noDrift : { middle, level: clear, slope: 0 }
}

/** What of a value is left when the noise that it may owe to chance is taken off (the positive-part rule of James and Stein 1961). */
function beyondNoise(value: number, error: number): number {
  return value === 0 ? 0 : value * Math.max(0, 1 - (error / value) ** 2)
}

/** Ordinary median; NaN for none. */
export function median(values: readonly number[]): number {
  const count = values.length
  if (count === 0) return Number.NaN
  const sorted = sortedSpace(values)
  const half = count >> 1
  return count % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2
}
