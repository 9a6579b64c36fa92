import { hoursToldBeside } from './clock-beside.ts'
import { type BlockClock, sameHourSeconds } from './clock-groups.ts'
import {
  type Change,
  fitAsTheyAre,
  type Group,
  hourOf,
  hourOfFills,
  leastGains,
  rightOf,
} from './clock-hours.ts'
import { flownNear, misses, pointsOf } from './clock-misses.ts'
import { withoutNoise } from './clock-noise.ts'
import { FLIGHT, type Observations, type Source } from './observations.ts'

/** Sources, of two witnesses at least, that a tracker yields to when it alone tells another hour. */
const leastAgainstTracker = 3

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
    else told.push({ members, points: pointsOf(o, clocks, members) })
  }
  if (flying.length === 0 && !expected) return [...clocks]
  const result = [...clocks]
  for (const group of told.filter(({ members }) => clocks[members[0]!]!.basis === 'pair')) {
    const right = rightOf(group, clocks, flownNear(o, clocks, flying, group.points))
    if (right === null) continue
    for (const index of group.members) result[index] = changed(result[index]!, right, !expected)
  }
  told.sort((a, b) => b.points.drops.length - a.points.drops.length || a.members[0]! - b.members[0]!)
  const served = new Set<number>()
  const waiting = told.filter(({ members, points }) => {
    if (clocks[members[0]!]!.basis === 'pair') return false
    const flown = flownNear(o, result, flying, points)
    const missed = misses(points, flown, 0)
    const least =
      hoursToldBeside(result, members, sources).size > 0 ? leastGains.witnesses : leastGains.flights
    if (missed.count >= least) return true
    for (const flight of missed.serving) served.add(flight)
    return false
  })
  for (const group of waiting) {
    const beside = hoursToldBeside(result, group.members, sources)
    // A flight that holds another's drop may hold the same drop of this group only if they share one.
    const flown = flownNear(o, result, flying, group.points, beside.size > 0 ? undefined : served)
    const near = new Set(flown.block)
    const seconds = flying.filter((members) => members.some((index) => near.has(index))).flat()
    const isFlown = (late: number): boolean =>
      seconds.some((index) => !isTracker(index) && Math.abs(result[index]!.offset + late) <= sameHourSeconds)
    const found = hourOf(group.points, flown, (late) =>
      beside.has(-late) ? 'witnesses' : isFlown(late) ? 'flights' : 'nobody',
    )
    if (found === null) continue
    const moved = flying.filter((members) => members.some((index) => found.flights.has(index)))
    const against = [
      ...group.members.filter((index) => Math.abs(result[index]!.offset) <= sameHourSeconds),
      ...moved.flat().filter((index) => Math.abs(result[index]!.offset + found.late) <= sameHourSeconds),
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
  for (const group of told) {
    const [only, other] = group.members
    if (other !== undefined || result[only!]!.basis !== 'alone') continue
    const flown = flownNear(o, result, flying, group.points)
    const found = fitAsTheyAre(group.points, flown)
    if (found) result[only!] = changed(result[only!]!, { ...found, seconds: 0, basis: 'tracker' }, !expected)
    const late = found || expected ? null : hourOfFills(group.points, flown)
    // Said to the days around, which decide together.
    if (late !== null)
      result[only!] = { ...result[only!]!, own: { offset: 0 - late, isStrong: false, against: 0 } }
  }
  if (!expected) return result
  const settled = told.map(({ members }) => ({ members, points: pointsOf(o, result, members) }))
  return leanOnDays(o, result, flying, settled, expected)
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
    return changes.every((change) => Math.abs(change - hour) <= sameHourSeconds) ? hour : 0
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
  const isLeft = (index: number): boolean =>
    clocks[index]!.isStrong || clocks[index]!.basis === 'alone' || clocks[index]!.basis === 'pair'
  for (const members of [...flying, ...told.map((group) => group.members)]) {
    if (members.some(isLeft)) continue
    const change = changeOf(members)
    if (change === 0 || missed(members, change) > missed(members, 0)) continue
    for (const index of members)
      clocks[index] = { ...clocks[index]!, offset: clocks[index]!.offset + change, basis: 'neighbours' }
  }
  return clocks
}

function changed(clock: BlockClock, { seconds, basis, isStrong, drops }: Change, isOwn: boolean): BlockClock {
  const offset = clock.offset + seconds
  const { block, pairs, spread } = clock
  const own = isOwn
    ? { offset: withoutNoise(offset, block.step, pairs, spread), isStrong, against: 0 }
    : clock.own
  return { ...clock, offset, basis, own, isStrong, pairs: Math.max(pairs, drops), isOpen: false }
}
