import { purposes } from '../kinds/index.ts'
import type { BlockClock } from './clock-groups.ts'
import { type Flown, misses, type Points } from './clock-misses.ts'
import { withoutNoise } from './clock-noise.ts'
import { DROP, FLIGHT, LOAD, type Observations, type Source } from './observations.ts'

const sameClockSeconds = 15 * 60
const mostHours = 12
const leastDrops = 3
/** So many events more must fit the flights before an hour is believed, and so many more than at any other hour. */
const leastGain = 3
const leastLead = 2
/** As many do where another record of the flights tells that hour too. */
const secondedGain = 2
/** Sources, of two witnesses at least, that a tracker yields to when it alone tells another hour. */
const leastAgainstTracker = 3
const nearSeconds = 15 * 3600
const groundTest = purposes.indexOf('ground-test')

interface Group {
  readonly members: readonly number[]
  readonly points: Points
}

/**
 * Drops happen in flight and loads on the ground. Where an aircraft's drops and loads miss the tracker's flights, and fit
 * them at another whole hour and no other, one of the two clocks is off by it: the tracker's is the common clock, unless
 * it stands alone against three sources who agree with each other.
 * @param clocks of one aircraft, as their shared events have grouped them
 * @param expected the offset that each should have by the days around, s, NaN for none; where a day's own events say too
 *   little it is taken if the flights then fit no worse. Not given: what each day's own events say is sought.
 */
export function holdClocks(
  o: Observations,
  clocks: readonly BlockClock[],
  sources: readonly Source[],
  expected?: readonly number[],
): BlockClock[] {
  const isTracker = (index: number): boolean => sources[clocks[index]!.block.source]!.witness === 'tracker'
  const byGroup = new Map<number, number[]>()
  clocks.forEach(({ group }, index) => {
    const list = byGroup.get(group)
    if (list) list.push(index)
    else byGroup.set(group, [index])
  })
  const flying: number[][] = []
  const told: Group[] = []
  for (const members of byGroup.values()) {
    if (members.some((index) => isTracker(index) && clocks[index]!.block.byKind[FLIGHT]!.length > 0))
      flying.push(members)
    else if (members.some((index) => clocks[index]!.basis !== 'pair'))
      told.push({ members, points: pointsOf(o, clocks, members) })
  }
  if (flying.length === 0) return [...clocks]
  const result = [...clocks]
  told.sort((a, b) => b.points.drops.length - a.points.drops.length || a.members[0]! - b.members[0]!)
  const served = new Set<number>()
  const waiting = told.filter(({ points }) => {
    const flown = flownNear(o, result, flying, points)
    const missed = misses(points, flown, 0)
    if (missed.count >= secondedGain) return true
    for (const flight of missed.serving) served.add(flight)
    return false
  })
  for (const group of waiting) {
    const flown = flownNear(o, result, flying, group.points, served)
    const near = new Set(flown.block)
    const seconds = flying.filter((members) => members.some((index) => near.has(index))).flat()
    const found = hourOf(group.points, flown, (late) =>
      seconds.some(
        (index) => !isTracker(index) && Math.abs(result[index]!.offset + late) <= sameClockSeconds,
      ),
    )
    if (found === null) continue
    const moved = flying.filter((members) => members.some((index) => found.flights.has(index)))
    const against = [
      ...group.members.filter((index) => Math.abs(result[index]!.offset) <= sameClockSeconds),
      ...moved.flat().filter((index) => Math.abs(result[index]!.offset + found.late) <= sameClockSeconds),
    ].map((index) => sources[clocks[index]!.block.source]!)
    const isOutvoted =
      new Set(against.map((source) => source.name)).size >= leastAgainstTracker &&
      new Set(against.map((source) => source.witness)).size >= 2
    const change: Change = isOutvoted
      ? { ...found, seconds: found.late, basis: 'majority' }
      : { ...found, seconds: -found.late, basis: 'tracker' }
    for (const index of isOutvoted ? moved.flat() : group.members)
      result[index] = changed(result[index]!, change, !expected)
  }
  return expected ? leanOnDays(o, result, flying, told, expected) : result
}

/** Groups whose days around all say one hour take it, if what they tell then fits the flights no worse. */
function leanOnDays(
  o: Observations,
  clocks: BlockClock[],
  flying: readonly (readonly number[])[],
  told: readonly Group[],
  expected: readonly number[],
): BlockClock[] {
  const changeOf = (members: readonly number[]): number => {
    const changes = members.flatMap((index) =>
      Number.isNaN(expected[index]!) ? [] : [expected[index]! - clocks[index]!.offset],
    )
    const hour = 3600 * Math.round((changes[0] ?? 0) / 3600)
    return changes.every((change) => Math.abs(change - hour) <= sameClockSeconds) ? hour : 0
  }
  const missed = (members: readonly number[], change: number): number => {
    let count = 0
    const isFlying = flying.includes(members)
    for (const { members: own, points } of told) {
      if (!isFlying && own !== members) continue
      const flown = flownNear(o, clocks, isFlying ? [members] : flying, points)
      count += misses(points, flown, isFlying ? change : -change).count
    }
    return count
  }
  for (const members of [...flying, ...told.map((group) => group.members)]) {
    if (members.some((index) => clocks[index]!.isStrong || clocks[index]!.basis === 'alone')) continue
    const change = changeOf(members)
    if (change === 0 || missed(members, change) > missed(members, 0)) continue
    for (const index of members)
      clocks[index] = { ...clocks[index]!, offset: clocks[index]!.offset + change, basis: 'neighbours' }
  }
  return clocks
}

interface Change {
  readonly seconds: number
  readonly basis: 'majority' | 'tracker'
  readonly isStrong: boolean
  /** Drops that it rests on. */
  readonly drops: number
}

function changed(clock: BlockClock, { seconds, basis, isStrong, drops }: Change, isOwn: boolean): BlockClock {
  const offset = clock.offset + seconds
  const { block, pairs, spread } = clock
  const own = isOwn ? withoutNoise(offset, block.step, pairs, spread) : clock.own
  return { ...clock, offset, basis, own, isStrong, pairs: Math.max(pairs, drops), isOpen: false }
}

/** Drops and loads of a group in its common time, each kind as the member tells it that has most of them. */
function pointsOf(o: Observations, clocks: readonly BlockClock[], members: readonly number[]): Points {
  const timesOf = (kind: number): number[] => {
    let most: number[] = []
    for (const index of members) {
      const { block, offset } = clocks[index]!
      const own = block.byKind[kind]!.filter((one) => kind !== DROP || o.purpose[one] !== groundTest)
      if (own.length > most.length) most = own.map((one) => o.start[one]! - offset)
    }
    return most
  }
  return { drops: timesOf(DROP), loads: timesOf(LOAD) }
}

/** The flights of groups with a tracker, in their common time, within reach of the points and not among those left out. */
function flownNear(
  o: Observations,
  clocks: readonly BlockClock[],
  flying: readonly (readonly number[])[],
  { drops, loads }: Points,
  leftOut?: ReadonlySet<number>,
): Flown {
  const flown: Flown = { off: [], on: [], number: [], block: [] }
  let [from, to] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  for (const time of [...drops, ...loads]) {
    from = Math.min(from, time - nearSeconds)
    to = Math.max(to, time + nearSeconds)
  }
  for (const index of flying.flat()) {
    const { block, offset } = clocks[index]!
    if (block.start - offset > to || block.end - offset < from) continue
    for (const one of block.byKind[FLIGHT]!) {
      if (leftOut?.has(one)) continue
      flown.off.push(o.start[one]! - offset)
      flown.on.push(o.end[one]! - offset)
      flown.number.push(one)
      flown.block.push(index)
    }
  }
  return flown
}

/** The whole hour at which the points fit the flights as at no other. Null: they fit as they are, or do not say. */
function hourOf(
  points: Points,
  flown: Flown,
  isSeconded: (late: number) => boolean,
): { late: number; flights: ReadonlySet<number>; isStrong: boolean; drops: number } | null {
  if (flown.off.length === 0) return null
  const count = points.drops.length + points.loads.length
  const now = misses(points, flown, 0)
  const tried = Array.from({ length: 2 * mostHours + 1 }, (_, place) => (place - mostHours) * 3600)
    .filter((late) => late !== 0)
    .map((late) => ({ late, isSeconded: isSeconded(late), ...misses(points, flown, late) }))
    .sort(
      (a, b) =>
        a.count - b.count ||
        Number(b.isSeconded) - Number(a.isSeconded) ||
        Math.abs(a.late) - Math.abs(b.late) ||
        a.late - b.late,
    )
  const [best, rival] = tried
  const gain = now.count - best!.count
  if (
    best!.count > 0.15 * count ||
    gain < (best!.isSeconded ? secondedGain : leastGain) ||
    gain < 0.4 * count
  )
    return null
  if (!best!.isSeconded) {
    const areApart = isApart(points, flown)
    if (points.drops.length < (areApart ? 2 : 1) * leastDrops) return null
    if (rival!.count - best!.count < leastLead + Number(areApart)) return null
  }
  return {
    late: best!.late,
    flights: new Set(best!.serving.map((flight) => flown.block[flown.number.indexOf(flight)]!)),
    isStrong: gain >= (best!.isSeconded ? leastGain : leastGain + 1),
    drops: points.drops.length,
  }
}

/** Records that do not even overlap may be of other flights. */
function isApart({ drops }: Points, { off, on }: Flown): boolean {
  return Math.min(...drops) > Math.max(...on) || Math.max(...drops) < Math.min(...off)
}
