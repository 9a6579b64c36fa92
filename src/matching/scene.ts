import type { Observations } from './observations.ts'

/** Common-clock times of observations and half their rounding steps, seconds, by observation. */
export interface CommonTimes {
  readonly time: Float64Array
  readonly end: Float64Array
  readonly half: Float64Array
}

/** Loads of one aircraft in time order: what a fraction is a fraction of. */
export interface Loads {
  readonly time: Float64Array
  readonly volume: Float64Array
}

/** What the lines of one kind in one segment are read against. */
export interface Scene {
  readonly o: Observations
  readonly kind: number
  readonly times: CommonTimes
  /** Times that no run of drops, and no pair of part loads, may reach across; ascending. */
  readonly breaks: Float64Array
  readonly loads: Loads
}

export const noTimes = new Float64Array(0)
export const noLoads: Loads = { time: noTimes, volume: noTimes }

/** Place of the last time that is at or before `at` in an ascending list; -1 for none. */
export function lastBefore(list: Float64Array, at: number): number {
  let low = 0
  let high = list.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (list[middle]! <= at) low = middle + 1
    else high = middle
  }
  return low - 1
}

/** Does a break lie after `from` and before `to`? */
export function isBroken(breaks: Float64Array, from: number, to: number): boolean {
  const next = lastBefore(breaks, from) + 1
  return next < breaks.length && breaks[next]! < to
}

/** Volume of the load that fluid let go at that time came from, gal; NaN where none is known. */
export function loadBefore(loads: Loads, at: number): number {
  const place = lastBefore(loads.time, at)
  return place < 0 ? Number.NaN : loads.volume[place]!
}
