import { align } from './alignment.ts'
import type { Block } from './blocks.ts'
import { median } from './clock-drift.ts'
import { EventColumns } from './event-columns.ts'
import { likelyOffsets, widest } from './likely-offsets.ts'
import { DROP, eventKinds, FLIGHT, LOAD, type Observations } from './observations.ts'
import { ShiftedBlock } from './shifted-block.ts'

/** How well two blocks agree when the first one's clock reads so much later than the second one's. */
export interface Reading {
  /** Seconds; positive: the first reads late. */
  readonly offset: number
  readonly score: number
  readonly pairs: number
  /** Median distance of the pairs from the offset, seconds. */
  readonly spread: number
}

export interface Evidence {
  readonly one: Block
  readonly other: Block
  /** Best first, by score less what the offset costs. */
  readonly readings: readonly Reading[]
  readonly isSure: boolean
  /** Sure by so many events that neighbouring days have nothing to add. */
  readonly isStrong: boolean
  /** By the two clocks as they are, the aircraft would fly twice at once, or let its only load go twice. */
  readonly isCollision: boolean
}

const setRightCost = 6
/** Two clocks that are mostly one differ by no more. */
export const sameClockSeconds = 6 * 60
const collisionSeconds = 180
/** Rounding, coarse as it may be, hides no more, s. */
const mostHidden = 15 * 60
/** Volumes that lie within such a share of each other may be one drop's, and two drops of such a share of a load are more than it. */
const [alike, mostOfLoad] = [0.1, 0.65]
/** How far pairs of strangers lie from the offset, and pairs of exact clocks at least, s. */
const usualScatter = 120
const leastScatter = 20
/** What each pair must be worth on average before a far offset is believed: time alone is 8, other volumes or places take from it. */
const leastAgreement = 6

/** What an offset must earn before it is believed: nothing for zero, a whole hour is common, others are rare. */
export function offsetCost(offset: number): number {
  const minutes = Math.abs(offset) / 60
  if (minutes < 1) return 0
  if (minutes <= 20) return 1 + minutes / 4
  const fromHour = Math.abs(minutes - 60 * Math.round(minutes / 60))
  if (fromHour <= 6) return 6 + 0.3 * (minutes / 60) + fromHour / 4
  const fromHalf = Math.abs(minutes - 30 * Math.round(minutes / 30))
  return (fromHalf <= 4 ? 10 : 16) + 0.3 * (minutes / 60)
}

/** What most blocks of different days tell each other: kept once. */
const silence: readonly Reading[] = [{ offset: 0, score: 0, pairs: 0, spread: 0 }]

/** Compares the clocks of two blocks of one aircraft by the events that both tell of. Null when they share no kind in reach. */
export function compareClocks(o: Observations, one: Block, other: Block): Evidence | null {
  if (one.start - other.end > widest || other.start - one.end > widest) return null
  const [rows, columns] = [one.byKind, other.byKind]
  if (!rows.some((list, kind) => list.length > 0 && columns[kind]!.length > 0)) return null
  const readings: Reading[] = []
  const candidates = likelyOffsets(o, rows, columns, (one.step + other.step) / 2)
  if (candidates === null) return null
  const isCollision = collide(o, one, other) || isSpentTwice(o, one, other)
  if (isCollision && rows[FLIGHT]!.length === 1 && columns[FLIGHT]!.length === 1)
    candidates.push(o.start[rows[FLIGHT]![0]!]! - o.start[columns[FLIGHT]![0]!]!)
  const events = toldBy(o, rows, other)
  for (const candidate of candidates) {
    const reading = readAt(o, one, events, columns, candidate)
    if (!readings.some((known) => Math.abs(known.offset - reading.offset) < 90)) readings.push(reading)
  }
  return judged(one, other, readings, 0, isCollision)
}

/**
 * Evidence of few events read again by one who knows what the two clocks differ by on the days around: that difference
 * costs nothing now, and any other has to earn more.
 */
export function leanOn(o: Observations, evidence: Evidence, expected: number): Evidence {
  const { one, other, readings, isCollision } = evidence
  const reading = readAt(o, one, toldBy(o, one.byKind, other), other.byKind, expected)
  const others = readings.filter((known) => Math.abs(known.offset - reading.offset) >= 90)
  return judged(one, other, reading.pairs > 0 ? [reading, ...others] : others, expected, isCollision)
}

/** The evidence without the readings that cannot be, judged by what remains. */
export function without(evidence: Evidence, isOut: (reading: Reading) => boolean): Evidence {
  const left = evidence.readings.filter((reading) => !isOut(reading))
  return left.length === evidence.readings.length
    ? evidence
    : judged(evidence.one, evidence.other, left, 0, evidence.isCollision)
}

/** The evidence where another's clock, that is mostly the same, was read too: what both tell counts for more. @param kin what it told of the same other block */
export function beside(evidence: Evidence, kin: readonly Reading[]): Evidence {
  const { one, other, readings, isCollision } = evidence
  const bonus = ({ offset, score }: Reading): number =>
    kin.reduce(
      (most, told) =>
        Math.abs(told.offset - offset) <= sameClockSeconds
          ? Math.max(most, Math.min(score, told.score))
          : most,
      0,
    )
  return judged(one, other, [...readings], 0, isCollision, bonus)
}

// Working space, kept between calls.
const told = eventKinds.map(() => new EventColumns())

/** What a block tells of the kinds that are asked for, as events, by its clock as it stands. */
function toldBy(o: Observations, asked: Block['byKind'], { byKind, steps }: Block): readonly EventColumns[] {
  for (let kind = 0; kind < told.length; kind++) {
    told[kind]!.clear()
    if (asked[kind]!.length === 0) continue
    for (const index of byKind[kind]!)
      told[kind]!.insert(o, index, o.start[index]!, o.end[index]!, steps[kind]! / 2)
  }
  return told
}

/** The reading at an offset, or at the one that its pairs lie at, if better. */
function readAt(
  o: Observations,
  one: Block,
  events: readonly EventColumns[],
  columns: Block['byKind'],
  offset: number,
): Reading {
  const reading = read(o, one, events, columns, offset)
  if (Math.abs(reading.offset - offset) < 30 || reading.pairs < 2) return reading
  const again = read(o, one, events, columns, reading.offset)
  return again.score > reading.score ? again : reading
}

function judged(
  one: Block,
  other: Block,
  readings: Reading[],
  expected: number,
  isCollision: boolean,
  bonus: (reading: Reading) => number = () => 0,
): Evidence {
  const half = (one.step + other.step) / 2
  const worth = (reading: Reading | undefined): number =>
    reading ? reading.score + bonus(reading) + tightness(reading, half) - costOf(reading.offset, expected) : 0
  readings.sort((a, b) => worth(b) - worth(a) || Math.abs(a.offset) - Math.abs(b.offset))
  const first = readings[0]
  // What rounding cannot tell apart is one clock read twice, no rival.
  const same = Math.min(Math.max(one.step, other.step), mostHidden)
  const second = readings.find((reading) => Math.abs(reading.offset - first!.offset) > same)
  const margin = Math.max(0, worth(first)) - Math.max(0, worth(second))
  const sure =
    first !== undefined &&
    !isChance(one, other, first.offset - expected) &&
    isSure(first, margin, one, other, expected, isCollision)
  const isSilent = readings.length === 1 && first!.pairs === 0 && first!.offset === 0
  return {
    one,
    other,
    readings: isSilent ? silence : readings,
    isSure: sure,
    isStrong: sure && first.pairs >= 4 && margin >= 8,
    isCollision,
  }
}

/**
 * What it adds, as a logarithm of likelihoods, that pairs lie closer together than those of strangers: of two hours by
 * which events in a steady rhythm fit, the one by which they fit to seconds is likelier.
 * @param half what rounding may put a pair off by, s
 */
function tightness({ pairs, spread }: Reading, half: number): number {
  const floor = Math.hypot(half / Math.sqrt(3), leastScatter)
  const scatter = Math.max(1.4826 * spread, floor)
  return Math.max(0, pairs - 2) * Math.max(0, Math.log(usualScatter / scatter))
}

/** Two flights that are not one, and overlap by more than clerks round: an aircraft flies but once at a time. */
function collide(o: Observations, one: Block, other: Block): boolean {
  const margin = collisionSeconds + (one.step + other.step) / 2
  return one.byKind[FLIGHT]!.some((a) =>
    other.byKind[FLIGHT]!.some((b) => {
      const shared = Math.min(o.end[a]!, o.end[b]!) - Math.max(o.start[a]!, o.start[b]!)
      const shorter = Math.min(o.end[a]! - o.start[a]!, o.end[b]! - o.start[b]!)
      return shared > margin && shared < 0.5 * shorter
    }),
  )
}

/** One drop in each record, of like volume, and but one load, of which either is more than half: nobody fills a tank between. */
function isSpentTwice(o: Observations, one: Block, other: Block): boolean {
  const [drops, others] = [one.byKind[DROP]!, other.byKind[DROP]!]
  const loads = [...one.byKind[LOAD]!, ...other.byKind[LOAD]!]
  if (drops.length !== 1 || others.length !== 1 || loads.length !== 1) return false
  const [volume, its, loaded] = [o.volume[drops[0]!]!, o.volume[others[0]!]!, o.volume[loads[0]!]!]
  return (
    Math.abs(volume - its) <= alike * Math.max(volume, its) && Math.min(volume, its) >= mostOfLoad * loaded
  )
}

/** A clock that reads as on other days is usual; one that was set right is likelier than one set to a third time. */
function costOf(offset: number, expected: number): number {
  if (expected === 0) return offsetCost(offset)
  return Math.min(offsetCost(offset - expected), setRightCost + offsetCost(offset))
}

/** Records that do not even overlap differ by whole hours if by anything: any other difference is the play of chance. */
function isChance(one: Block, other: Block, offset: number): boolean {
  const areApart = one.end < other.start || other.end < one.start
  return areApart && Math.abs(offset) > 1200 && Math.abs(offset - 3600 * Math.round(offset / 3600)) > 360
}

/** So many events both could tell of. */
function mostPairs(one: Block, other: Block): number {
  return one.byKind.reduce((sum, list, kind) => sum + Math.min(list.length, other.byKind[kind]!.length), 0)
}

function isSure(
  first: Reading,
  margin: number,
  one: Block,
  other: Block,
  expected: number,
  isCollision: boolean,
): boolean {
  const fewer = Math.min(one.to - one.from, other.to - other.from)
  if (expected !== 0 && first.pairs > 0 && Math.abs(first.offset - expected) <= 6 * 60) return margin >= 3
  if (Math.abs(first.offset) <= 12 * 60)
    return (first.pairs >= 2 || (fewer === 1 && Math.abs(first.offset) <= 6 * 60)) && margin >= 3
  if (first.score < leastAgreement * first.pairs) return false
  const isHour = Math.abs(first.offset / 3600 - Math.round(first.offset / 3600)) < 0.1
  if (isCollision && isHour && first.pairs === 1 && fewer === 1) return margin >= 1
  const least = isHour && fewer <= 3 ? 2 : 3
  return first.pairs >= least && first.pairs * 2 > mostPairs(one, other) && margin >= 6
}

function read(
  o: Observations,
  one: Block,
  events: readonly EventColumns[],
  columns: readonly (readonly number[])[],
  offset: number,
): Reading {
  let score = 0
  const residuals: number[] = []
  for (let kind = 0; kind < columns.length; kind++) {
    const list = one.byKind[kind]!
    const others = columns[kind]!
    if (list.length === 0 || others.length === 0) continue
    const found = align(new ShiftedBlock(o, one, kind, offset, events[kind]!))
    score += found.total
    for (let row = 0; row < list.length; row++) {
      const column = found.column[row]!
      if (column >= 0) residuals.push(o.start[list[row]!]! - o.start[others[column]!]!)
    }
  }
  if (residuals.length === 0) return { offset, score, pairs: 0, spread: 0 }
  const middle = median(residuals)
  const spread = median(residuals.map((residual) => Math.abs(residual - middle)))
  return { offset: middle, score, pairs: residuals.length, spread }
}
