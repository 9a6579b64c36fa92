import type { Warehouse } from '../warehouse/index.ts'
import type { BlockClock } from './clock-groups.ts'
import { fleetSeconds, type Known, neighbourSeconds, type Offset, standsAlone } from './clock-offsets.ts'
import type { Source } from './observations.ts'
import { isWithin, type Reach } from './reach.ts'
import type { Touched } from './touched.ts'

/** A row of `ledger.clock`, seconds. */
export interface ClockRow {
  readonly source: string
  readonly aircraft: string
  readonly start: number
  readonly end: number
  readonly offset: number
  readonly basis: Offset['basis']
  /** 1 where its week decides. */
  readonly is_open: number
}

/** What is on record about the clocks of the sources at hand, for as far as a week beyond what was loaded. */
export async function clocksOnRecord(warehouse: Warehouse): Promise<ClockRow[]> {
  return warehouse.rows<ClockRow & Record<string, never>>(
    `SELECT source, aircraft, epoch_us(started_at) / 1e6 AS start, epoch_us(ended_at) / 1e6 AS "end",
       offset_min * 60 AS "offset", basis, is_open::INTEGER AS is_open
     FROM ledger.clock
     WHERE started_at BETWEEN (SELECT min(load_from) FROM match_range) - INTERVAL 8 DAY
         AND (SELECT max(load_to) FROM match_range) + INTERVAL 8 DAY
       AND source IN (SELECT source FROM match_source)
     ORDER BY aircraft, source, started_at`,
  )
}

const keyOf = (aircraft: string, source: string, start: number): string => `${aircraft}|${source}|${start}`

/** Offsets on record for blocks that are not judged anew, and who may speak for neighbours from outside. */
export function standingOffsets(
  clocks: readonly BlockClock[],
  record: readonly ClockRow[],
  reached: ReadonlyMap<string, readonly Reach[]>,
  aircraft: readonly string[],
  sources: readonly Source[],
): { standing: Map<number, Offset>; known: Known[] } {
  const outside = record.filter(
    (row) => !isWithin(reached.get(row.aircraft) ?? [], 'clock', row.start, row.end),
  )
  const byKey = new Map(outside.map((row) => [keyOf(row.aircraft, row.source, row.start), row]))
  const standing = new Map<number, Offset>()
  clocks.forEach(({ block }, index) => {
    const row = byKey.get(keyOf(aircraft[block.aircraft]!, sources[block.source]!.name, block.start))
    if (row) standing.set(index, { offset: row.offset, basis: row.basis })
  })
  const aircraftNumber = new Map(aircraft.map((name, number) => [name, number]))
  const sourceNumber = new Map(sources.map((source, number) => [source.name, number]))
  let stranger = -1
  const numberOf = (name: string): number => {
    const number = aircraftNumber.get(name)
    if (number !== undefined) return number
    aircraftNumber.set(name, stranger)
    return stranger--
  }
  const known = outside
    .filter((row) => standsAlone(row.basis) && sourceNumber.has(row.source))
    .map((row) => ({
      aircraft: numberOf(row.aircraft),
      source: sourceNumber.get(row.source)!,
      start: row.start,
      offset: row.offset,
    }))
  return { standing, known }
}

/**
 * What else must be judged anew because of how the clocks came out: blocks that lean on neighbours whose own offset
 * changed, and days that are judged together with their week.
 */
export function furtherTouched(
  clocks: readonly BlockClock[],
  offsets: readonly Offset[],
  record: readonly ClockRow[],
  reached: ReadonlyMap<string, readonly Reach[]>,
  touched: readonly Touched[],
  aircraft: readonly string[],
  sources: readonly Source[],
): Touched[] {
  const far = new Set(touched.filter((one) => one.isFar).map((one) => one.aircraft))
  const toFar = new Set<string>()
  const changed = new Map<string, { aircraft: string; at: number }[]>()
  const before = new Map<string, number>()
  const within = (name: string, from: number, to: number): boolean =>
    isWithin(reached.get(name) ?? [], 'clock', from, to)
  for (const row of record) {
    if (standsAlone(row.basis) && within(row.aircraft, row.start, row.end))
      before.set(keyOf(row.aircraft, row.source, row.start), row.offset)
  }
  const note = (source: string, name: string, at: number): void => {
    const list = changed.get(source)
    if (list) list.push({ aircraft: name, at })
    else changed.set(source, [{ aircraft: name, at }])
  }
  clocks.forEach((clock, index) => {
    const name = aircraft[clock.block.aircraft]!
    const source = sources[clock.block.source]!.name
    if (!within(name, clock.block.start, clock.block.end)) return
    if (clock.isOpen) toFar.add(name)
    if (!standsAlone(clock.basis)) return
    const key = keyOf(name, source, clock.block.start)
    if (before.get(key) !== offsets[index]!.offset) note(source, name, clock.block.start)
    before.delete(key)
  })
  for (const key of before.keys()) {
    const [name, source, start] = key.split('|')
    note(source!, name!, Number(start))
  }
  const more: Touched[] = []
  for (const row of record) {
    if (standsAlone(row.basis)) continue
    const isNear = touched.some(
      (one) =>
        one.aircraft === row.aircraft &&
        row.start <= one.to + neighbourSeconds &&
        row.end >= one.from - neighbourSeconds,
    )
    if (row.is_open > 0 && isNear) toFar.add(row.aircraft)
    for (const change of changed.get(row.source) ?? []) {
      const apart = Math.abs(change.at - row.start)
      if (change.aircraft === row.aircraft && apart <= neighbourSeconds) {
        if (!within(row.aircraft, row.start, row.end)) toFar.add(row.aircraft)
      } else if (apart <= fleetSeconds && !within(row.aircraft, row.start, row.end)) {
        more.push({ aircraft: row.aircraft, from: row.start, to: row.end, isFar: false })
      }
    }
  }
  for (const name of toFar) {
    if (far.has(name)) continue
    for (const one of touched) if (one.aircraft === name) more.push({ ...one, isFar: true })
  }
  return more
}
