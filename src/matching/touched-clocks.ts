import type { Warehouse } from '../warehouse/index.ts'
import type { BlockClock } from './clock-groups.ts'
import { type Heard, judgeClocks } from './clock-judgement.ts'
import { missesByBlock } from './clock-misses.ts'
import { Neighbours } from './clock-neighbours.ts'
import { type Offset, settleOffsets, standsAlone } from './clock-offsets.ts'
import { fleetSeconds, neighbourSeconds, type Place } from './clock-voices.ts'
import {
  type ClockRecord,
  type ClockRow,
  clocksOnRecord,
  type Strangers,
  speakersOf,
  standingOffsets,
} from './clocks-on-record.ts'
import type { Observations, Source } from './observations.ts'
import { isWithin, type Reach } from './reach.ts'
import type { Touched } from './touched.ts'

const day = 86_400

/** What is judged anew: stretches of aircraft, by name, and how far each reaches. */
export interface Stretches {
  readonly touched: readonly Touched[]
  readonly reached: ReadonlyMap<string, readonly Reach[]>
  /** Names of the aircraft at hand, by number. */
  readonly aircraft: readonly string[]
}

/**
 * The clocks of what is at hand and their offsets, in the light of those on record, and what else must be judged anew because of
 * how they came out. What other aircraft say is read only where somebody listens to them.
 */
export async function judgeTouched(
  warehouse: Warehouse,
  o: Observations,
  heard: readonly Heard[],
  sources: readonly Source[],
  stretches: Stretches,
): Promise<{ clocks: BlockClock[]; offsets: Offset[]; more: Touched[] }> {
  const blocks = heard.flatMap((one) => one.blocks)
  for (let strangers: Strangers = 'listeners'; ; strangers = 'all') {
    const record = await clocksOnRecord(warehouse, stretches, sources, strangers)
    const { standing, known } = standingOffsets(blocks, record)
    const { clocks, neighbours } = judgeClocks(
      o,
      heard,
      sources,
      (index) => standing.has(index),
      known,
      record.familyOf,
    )
    const before = new Neighbours(
      speakersOf(record, () => true),
      record.familyOf,
    )
    const change: Change = {
      record,
      before,
      neighbours,
      hearers: hearersOf(record, before, neighbours, stretches),
    }
    if (strangers === 'listeners' && isFleetAsked(clocks, standing, change)) continue
    const offsets = settleOffsets(clocks, sources, neighbours, missesByBlock(o, clocks, sources), standing)
    return { clocks, offsets, more: furtherTouched(clocks, offsets, change, stretches) }
  }
}

/** What the days around said, and say now. */
interface Change {
  readonly record: ClockRecord
  readonly before: Neighbours
  readonly neighbours: Neighbours
  /** Clocks on record that are not judged anew and hear days that now say something else. */
  readonly hearers: readonly Hearer[]
}

interface Hearer {
  readonly row: ClockRow
  readonly place: Place
  /** Of an aircraft in whose days something changed. */
  readonly isOwn: boolean
}

/** Does a clock that its own day leaves open, or that hears of a change, hear nothing of the common one from the days around? */
function isFleetAsked(
  clocks: readonly BlockClock[],
  standing: ReadonlyMap<number, Offset>,
  { before, neighbours, hearers }: Change,
): boolean {
  const knows = ({ common }: Neighbours, place: Place): boolean => common.ownWordOf(place, 1) !== null
  return (
    clocks.some(
      ({ block, basis }, index) =>
        (basis === 'pair' || (basis === 'alone' && !standing.has(index))) && !knows(neighbours, block),
    ) ||
    hearers.some(
      ({ row, place }) => !standsAlone(row.basis) && !(knows(before, place) && knows(neighbours, place)),
    )
  )
}

/** Is a clock not judged anew, and does its own day leave it to be said? */
function isAsked(row: ClockRow, record: ClockRecord): boolean {
  const isSettledByItsDay = row.own?.against === 0 && row.own.isStrong
  return !isSettledByItsDay && !record.isJudged(row)
}

function isNear(row: ClockRow, { from, to }: Touched, seconds: number): boolean {
  return row.start <= to + seconds && row.end >= from - seconds
}

/** Do days of its own aircraft that changed speak for it? */
function isOfTouched(row: ClockRow, touched: readonly Touched[]): boolean {
  return touched.some((one) => one.aircraft === row.aircraft && isNear(row, one, neighbourSeconds + 2 * day))
}

/** Blocks that now read otherwise than on record, of which not all lines are matched anew. */
function readOtherwise(
  clocks: readonly BlockClock[],
  offsets: readonly Offset[],
  record: ClockRecord,
  reached: ReadonlyMap<string, readonly Reach[]>,
  aircraft: readonly string[],
): Touched[] {
  const keyOf = (...numbers: readonly number[]): string => numbers.join('|')
  const before = new Map(
    record.rows.map((row, i) => [
      keyOf(record.aircraft[i]!, record.source[i]!, row.start, row.end),
      row.offset,
    ]),
  )
  return clocks.flatMap(({ block }, index) => {
    const { source, start, end } = block
    const name = aircraft[block.aircraft]!
    const reaches = reached.get(name) ?? []
    const isMatched = reaches.some((reach) => start >= reach.matchFrom && end <= reach.matchTo)
    if (isMatched || !isWithin(reaches, 'clock', start, end)) return []
    const isSame = before.get(keyOf(block.aircraft, source, start, end)) === offsets[index]!.offset
    return isSame ? [] : [{ aircraft: name, from: start, to: end, isFar: false }]
  })
}

function hearersOf(
  record: ClockRecord,
  before: Neighbours,
  neighbours: Neighbours,
  { reached, touched }: Stretches,
): Hearer[] {
  const isReached = neighbours.reachOfChanges(before)
  const hearers: Hearer[] = []
  record.rows.forEach((row, i) => {
    if (!isAsked(row, record)) return
    // Of another aircraft's clock its own days say what they said, and where it stands by one the fleet is not asked.
    if (!reached.has(row.aircraft) && standsAlone(row.basis)) return
    const place = { aircraft: record.aircraft[i]!, source: record.source[i]!, start: row.start }
    if (!isReached(place)) return
    const isOwn = isOfTouched(row, touched)
    if (isOwn || touched.some((one) => isNear(row, one, fleetSeconds + 2 * day)))
      hearers.push({ row, place, isOwn })
  })
  return hearers
}

/**
 * What else must be judged anew because of how the clocks came out: lines of clocks that read otherwise now, blocks whose
 * neighbours say something else, and days that are judged together with their week.
 */
function furtherTouched(
  clocks: readonly BlockClock[],
  offsets: readonly Offset[],
  { record, before, neighbours, hearers }: Change,
  { reached, touched, aircraft }: Stretches,
): Touched[] {
  const far = new Set(touched.filter((one) => one.isFar).map((one) => one.aircraft))
  const toFar = new Set<string>()
  for (const { block, isOpen } of clocks) {
    const name = aircraft[block.aircraft]!
    if (isOpen && isWithin(reached.get(name) ?? [], 'clock', block.start, block.end)) toFar.add(name)
  }
  for (const row of record.rows)
    if (row.is_open > 0 && isAsked(row, record) && isOfTouched(row, touched)) toFar.add(row.aircraft)
  const more = readOtherwise(clocks, offsets, record, reached, aircraft)
  for (const { row, place, isOwn } of hearers) {
    const isFleetAsked = !standsAlone(row.basis)
    const now = neighbours.allOf(place, isFleetAsked)
    const isSame = before.allOf(place, isFleetAsked).every((offset, one) => Object.is(offset, now[one]))
    if (isSame) continue
    if (isOwn) toFar.add(row.aircraft)
    else more.push({ aircraft: row.aircraft, from: row.start, to: row.end, isFar: false })
  }
  for (const name of toFar) {
    if (far.has(name)) continue
    for (const one of touched) if (one.aircraft === name) more.push({ ...one, isFar: true })
  }
  return more
}
