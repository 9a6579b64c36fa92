import { median, theilSen } from '../statistics/index.ts'

/** Turnarounds of one base as columns; NaN where a part is unknown. Minutes, nautical miles, US gal. */
export interface Turnarounds {
  base: string
  turnaround_min: Float64Array
  hold_min: Float64Array
  fill_min: Float64Array
  out_min: Float64Array
  scene_min: Float64Array
  back_min: Float64Array
  gallons: Float64Array
  distance_nm: Float64Array
}

/**
 * What the base's own times imply: a turnaround takes `fixed_min`, plus `minutes_per_nm` for each mile between base and fire, there and
 * back; holding is left out.
 */
export interface CycleTime {
  turnarounds: number
  /** Turnarounds with a known distance and both legs, which the line rests on. */
  fitted: number
  fixed_min: number
  minutes_per_nm: number
  low_per_nm: number | null
  high_per_nm: number | null
  fill_min: number | null
  gallons: number
}

const enough = 10
/** All pairs of this many turnarounds are formed; of more, evenly spaced ones are taken. */
const most = 500

/** Null where fewer than 10 turnarounds have a distance and both legs, or where time does not grow with distance. */
export function cycleTime(one: Turnarounds): CycleTime | null {
  const at: number[] = []
  for (let i = 0; i < one.distance_nm.length; i++)
    if (Number.isFinite(one.distance_nm[i]! + one.out_min[i]! + one.back_min[i]!)) at.push(i)
  if (at.length < enough) return null
  const step = Math.max(1, at.length / most)
  const taken = Array.from({ length: Math.min(at.length, most) }, (_, k) => at[Math.floor(k * step)]!)
  const x = Float64Array.from(taken, (i) => one.distance_nm[i]!)
  const y = Float64Array.from(taken, (i) => one.out_min[i]! + one.back_min[i]!)
  const line = theilSen(x, y)
  if (line === null || !(line.slope > 0)) return null
  const rest = known(
    Float64Array.from(
      one.turnaround_min,
      (whole, i) => whole - one.hold_min[i]! - one.out_min[i]! - one.back_min[i]!,
    ),
  )
  return {
    turnarounds: one.turnaround_min.length,
    fitted: at.length,
    fixed_min: median(rest)! + line.interceptJoint,
    minutes_per_nm: line.slope,
    low_per_nm: line.slopeLow,
    high_per_nm: line.slopeHigh,
    fill_min: median(known(one.fill_min)),
    gallons: one.gallons.reduce((sum, gallons) => sum + gallons, 0) / one.gallons.length,
  }
}

/** Gallons per hour of work at a distance, with the fill shortened by some minutes. Null where the time would not be positive. */
export function gallonsPerHour(cycle: CycleTime, distance_nm: number, shorter_min = 0): number | null {
  const minutes = cycle.fixed_min - shorter_min + cycle.minutes_per_nm * distance_nm
  return minutes > 0 ? (60 * cycle.gallons) / minutes : null
}

export function known(values: Float64Array): Float64Array {
  return values.filter((value) => Number.isFinite(value))
}
