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
      const straight = median(flat)
      const kept = beyondNoise(swing, Math.SQRT2 * errorOfMedian(flat, straight, third)) / swing
      if (kept > 0.3)
        return {
          middle,
          level: beyondNoise(straight, errorOfMedian(flat, straight, count)),
          slope: kept * slope,
        }
    }
  }
  if (Math.abs(level) < leastLevelSeconds) return noDrift
  const kept = beyondNoise(level, errorOfMedian(residuals, level, count))
  return kept === 0 ? noDrift : { middle, level: kept, slope: 0 }
}

/** What of a value is left when the noise that it may owe to chance is taken off (the positive-part rule of James and Stein 1961). */
function beyondNoise(value: number, error: number): number {
  return value === 0 ? 0 : value * Math.max(0, 1 - (error / value) ** 2)
}

/** Standard error of a median of `count` values that scatter like these about their middle (normal, by the median deviation). */
function errorOfMedian(values: readonly number[], middle: number, count: number): number {
  return (1.2533 * 1.4826 * median(values.map((value) => Math.abs(value - middle)))) / Math.sqrt(count)
}

let sorted = new Float64Array(64)

/** Ordinary median; NaN for none. */
export function median(values: readonly number[]): number {
  const count = values.length
  if (count === 0) return Number.NaN
  if (count > sorted.length) sorted = new Float64Array(2 * count)
  if (count > 40) {
    for (let i = 0; i < count; i++) sorted[i] = values[i]!
    sorted.subarray(0, count).sort()
  } else {
    for (let i = 0; i < count; i++) {
      const value = values[i]!
      let place = i
      for (; place > 0 && sorted[place - 1]! > value; place--) sorted[place] = sorted[place - 1]!
      sorted[place] = value
    }
  }
  const half = count >> 1
  return count % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2
}
