import { timeField } from './fields.ts'
import type { Numbers } from './growing.ts'
import { DROP, type EventKind, eventKinds, FLIGHT, LOAD, type Observations } from './observations.ts'
import { backwardBit, bitOf, bitsOf } from './says.ts'

/** Columns of numbers that an event carries: times in microseconds since 1970, gallons, degrees, the number of a purpose. */
export const carriedColumns = {
  at_us: 'DOUBLE',
  until_us: 'DOUBLE',
  volume: 'DOUBLE',
  gauge: 'DOUBLE',
  fraction: 'DOUBLE',
  latitude: 'DOUBLE',
  longitude: 'DOUBLE',
  purpose: 'DOUBLE',
} as const
export type CarriedColumn = keyof typeof carriedColumns

/** Columns of the ledger whose values stand in the observations at hand; all others are fetched from where they were told. */
export const carriedOf: Record<EventKind, Readonly<Record<string, CarriedColumn>>> = {
  drop: {
    dropped_at: 'at_us',
    volume_gal: 'volume',
    fraction: 'fraction',
    latitude: 'latitude',
    longitude: 'longitude',
    purpose: 'purpose',
  },
  load: { loaded_at: 'at_us', volume_gal: 'volume', gauge_gal: 'gauge' },
  flight: { off_at: 'at_us', on_at: 'until_us' },
  offload: { offloaded_at: 'at_us', volume_gal: 'volume' },
}

const toFetch = eventKinds.map(
  (kind) => bitsOf(kind) & ~Object.keys(carriedOf[kind]).reduce((bits, name) => bits | bitOf(kind, name), 0),
)
const timeBit = eventKinds.map((kind) => bitOf(kind, timeField[kind]))
const volumeBit = eventKinds.map((kind) => (kind === 'flight' ? 0 : bitOf(kind, 'volume_gal')))
const endBit = bitOf('flight', 'on_at')
const gaugeBit = bitOf('load', 'gauge_gal')
const fractionBit = bitOf('drop', 'fraction')
const latitudeBit = bitOf('drop', 'latitude')
const longitudeBit = bitOf('drop', 'longitude')
const purposeBit = bitOf('drop', 'purpose')

/** Numbers of events, as those give them whose word counts; and the bits of what has to be fetched, by kind. */
export class Carried {
  readonly fetched = eventKinds.map(() => 0)
  readonly #o: Observations
  /** Seconds taken off each observation's time. */
  readonly #offsets: Float64Array

  constructor(o: Observations, offsets: Float64Array) {
    this.#o = o
    this.#offsets = offsets
  }

  /** Writes into a row what one observation gives of its event. @param gives bits */
  give(
    kind: number,
    columns: Readonly<Record<CarriedColumn, Numbers>>,
    row: number,
    index: number,
    gives: number,
  ): void {
    if (gives === 0) return
    const o = this.#o
    this.fetched[kind]! |= gives & toFetch[kind]!
    if ((gives & timeBit[kind]!) !== 0)
      columns.at_us[row] = this.#timeOf(o.start[index]!, index, timeBit[kind]!)
    if ((gives & volumeBit[kind]!) !== 0) columns.volume[row] = o.volume[index]!
    if (kind === LOAD && (gives & gaugeBit) !== 0) columns.gauge[row] = o.volume[index]!
    if (kind === FLIGHT && (gives & endBit) !== 0) {
      columns.until_us[row] = this.#timeOf(o.end[index]!, index, endBit)
      // At hand, a flight that ends before it begins ends then.
      if ((o.says[index]! & backwardBit) !== 0) this.fetched[kind]! |= endBit
    }
    if (kind !== DROP) return
    if ((gives & fractionBit) !== 0) columns.fraction[row] = o.fraction[index]!
    if ((gives & latitudeBit) !== 0) columns.latitude[row] = o.latitude[index]!
    if ((gives & longitudeBit) !== 0) columns.longitude[row] = o.longitude[index]!
    if ((gives & purposeBit) === 0) return
    columns.purpose[row] = o.purpose[index]!
    // One that is on no list has no number.
    if (!(o.purpose[index]! >= 0)) this.fetched[kind]! |= purposeBit
  }

  #timeOf(seconds: number, index: number, bit: number): number {
    const us = Math.round(seconds * 1e6)
    return (this.#o.set[index]! & bit) !== 0 ? us : us - 1000 * Math.round(this.#offsets[index]! * 1000)
  }
}
