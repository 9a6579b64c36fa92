/** Kinds of event that several witnesses can tell of; the number is how they travel in typed arrays. */
export const eventKinds = ['drop', 'load', 'flight', 'offload'] as const
export type EventKind = (typeof eventKinds)[number]
export const DROP = 0
export const LOAD = 1
export const FLIGHT = 2
export const OFFLOAD = 3

/**
 * Observations as parallel arrays, one value per observation, NaN where nothing was said.
 * Sorted by aircraft, source, time, kind, content: their order never depends on which file arrived first.
 * Times are seconds since 1970 by the witness's own clock.
 */
export interface Observations {
  readonly count: number
  /** Number of the aircraft; equal numbers stand together. */
  readonly aircraft: Float64Array
  /** Number of the source; `sources[n]` describes it. */
  readonly source: Float64Array
  /** Index into `eventKinds`. */
  readonly kind: Float64Array
  readonly start: Float64Array
  /** End of a flight; the start again for every other kind. */
  readonly end: Float64Array
  readonly volume: Float64Array
  readonly fraction: Float64Array
  readonly latitude: Float64Array
  readonly longitude: Float64Array
  /** Number of the fire text after tidying; equal numbers are equal texts. */
  readonly fire: Float64Array
  /** Index into the purposes. */
  readonly purpose: Float64Array
  /** 1 where a person set the time: it is true time and no clock is taken out of it. */
  readonly isTimeSet: Float64Array
  readonly obsNo: Float64Array
  /** Bits of the columns that it says something of, by its kind. */
  readonly says: Int32Array
  /** Those of them that a person set. */
  readonly set: Int32Array
}

/** Who tells: a witness by a profile and, of tickets, each base, for those are written by the base's clock. */
export interface Source {
  /** Witness and profile. */
  readonly name: string
  readonly witness: string
  /** Of tickets the base as it is written; empty where there is none, and of all others. */
  readonly base: string
  /** Number of the first source of that name: one event is told at most once by all of them. */
  readonly family: number
}

/** Position in the order in which sources enter an alignment: measured ones first. */
const entryOrder: readonly string[] = ['controller', 'tracker', 'manual', 'dispatch', 'crew', 'ticket']

export function entryRank(witness: string): number {
  const rank = entryOrder.indexOf(witness)
  return rank < 0 ? entryOrder.length : rank
}

/** Position in the order of trust in clocks when nothing else decides. */
const clockOrder: readonly string[] = ['tracker', 'controller', 'dispatch', 'ticket', 'crew', 'manual']

/** So many ranks there are. */
export const clockRanks = clockOrder.length + 1

/** 0 for the most trusted, below `clockRanks`. */
export function clockRank(witness: string): number {
  const rank = clockOrder.indexOf(witness)
  return rank < 0 ? clockOrder.length : rank
}

/** Index ranges `[from, to)` of each aircraft. */
export function aircraftRanges(o: Observations): [number, number][] {
  const ranges: [number, number][] = []
  let from = 0
  for (let index = 1; index <= o.count; index++) {
    if (index < o.count && o.aircraft[index] === o.aircraft[from]) continue
    ranges.push([from, index])
    from = index
  }
  return o.count === 0 ? [] : ranges
}
