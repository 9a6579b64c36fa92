import { precedence, type Witness } from '../kinds/index.ts'
import type { EventKind } from './observations.ts'

/** Where a field of a canonical record comes from and whose word counts first. */
export interface Field {
  /** Column of the ledger. */
  readonly name: string
  /** Column of the observation. */
  readonly from: string
  readonly order: readonly Witness[]
  /** May a line that stands for several events give it? */
  readonly fromSummary?: boolean
  /** Time by the witness's clock: its offset is taken out. */
  readonly isTime?: boolean
  /** Taken only from an observation that has this column too. */
  readonly with?: string
}

const drop = precedence.drop
const load = precedence.load
const flight = precedence.flight
const offload = precedence.offload

/** Every field that is taken by precedence, per kind. */
export const fieldsOf: Record<EventKind, readonly Field[]> = {
  drop: [
    { name: 'dropped_at', from: 'dropped_at', order: drop.dropped_at, isTime: true },
    { name: 'volume_gal', from: 'volume_gal', order: drop.volume_gal },
    { name: 'commanded_gal', from: 'commanded_gal', order: drop.commanded_gal },
    { name: 'coverage_level', from: 'coverage_level', order: drop.coverage_level },
    { name: 'fraction', from: 'fraction', order: drop.fraction },
    { name: 'fluid', from: 'fluid', order: drop.fluid, fromSummary: true },
    { name: 'purpose', from: 'purpose', order: drop.purpose, fromSummary: true },
    { name: 'openings', from: 'openings', order: drop.openings },
    { name: 'doors', from: 'doors', order: drop.doors },
    { name: 'latitude', from: 'latitude', order: drop.position, with: 'longitude' },
    { name: 'longitude', from: 'longitude', order: drop.position, with: 'latitude' },
    { name: 'height_ft', from: 'height_ft', order: drop.height_ft },
    { name: 'groundspeed_kt', from: 'groundspeed_kt', order: drop.groundspeed_kt },
    { name: 'duration_s', from: 'duration_s', order: drop.duration_s },
    { name: 'fire_text', from: 'fire', order: drop.fire, fromSummary: true },
  ],
  load: [
    { name: 'loaded_at', from: 'loaded_at', order: load.loaded_at, isTime: true },
    { name: 'started_at', from: 'started_at', order: load.started_at, isTime: true },
    { name: 'base_text', from: 'base', order: load.base },
    { name: 'ticket', from: 'ticket', order: load.ticket },
    { name: 'volume_gal', from: 'volume_gal', order: load.volume_gal },
    { name: 'target_gal', from: 'target_gal', order: load.target_gal },
    { name: 'overflow', from: 'overflow', order: load.overflow },
    { name: 'fluid', from: 'fluid', order: load.fluid },
    { name: 'method', from: 'method', order: load.method },
    { name: 'gauge_before_gal', from: 'gauge_before_gal', order: load.gauge_before_gal },
    { name: 'gauge_after_gal', from: 'gauge_after_gal', order: load.gauge_after_gal },
  ],
  flight: [
    { name: 'off_at', from: 'off_at', order: flight.off_at, isTime: true },
    { name: 'on_at', from: 'on_at', order: flight.on_at, isTime: true },
    { name: 'hours', from: 'hours', order: flight.hours },
    { name: 'ordered_at', from: 'ordered_at', order: flight.ordered_at, isTime: true },
    { name: 'from_base_text', from: 'from_base', order: flight.from_base },
    { name: 'to_base_text', from: 'to_base', order: flight.to_base },
  ],
  offload: [
    { name: 'offloaded_at', from: 'offloaded_at', order: offload.offloaded_at, isTime: true },
    { name: 'base_text', from: 'base', order: offload.base },
    { name: 'volume_gal', from: 'volume_gal', order: offload.volume_gal },
    { name: 'fluid', from: 'fluid', order: offload.fluid },
  ],
}

/** The field that dates an event of each kind. */
export const timeField: Record<EventKind, string> = {
  drop: 'dropped_at',
  load: 'loaded_at',
  flight: 'off_at',
  offload: 'offloaded_at',
}

export const idLetter: Record<EventKind, string> = { drop: 'D', load: 'L', flight: 'F', offload: 'O' }

/** Rank of a witness for a field, 1 = first among witnesses; `manual` and set fields are 0; strangers come last. */
export function rankOf(order: readonly string[], witness: string): number {
  if (witness === 'manual') return 0
  const rank = order.indexOf(witness)
  return rank < 0 ? 90 : rank + 1
}

/** SQL of the same rank times 1000 plus the place, over columns `l.witness` and `l.place`. */
export function rankSql(field: Field): string {
  const cases = field.order.map((witness, rank) => `WHEN '${witness}' THEN ${rank + 1}`).join(' ')
  return `CASE l.witness WHEN 'manual' THEN 0 ${cases} ELSE 90 END * 1000 + l.place`
}
