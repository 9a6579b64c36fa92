import { type BlockClock, sameHourSeconds } from './clock-groups.ts'
import { type Flown, type Missed, misses, type Points } from './clock-misses.ts'

const mostHours = 12
const leastDrops = 3
/** Of two clocks an hour apart, so many drops are enough where the flights hold all by one and fewer by the other. */
const leastDropsOfPair = 2
/** So many events more must fit the flights before an hour is believed, and so many more than at any other hour. */
const leastGain = 3
const leastLead = 2
/** Of all points so large a share may miss the flights all the same: of flights, too, some are missing. */
const mostMissed = 0.15
/** Fewer do where another record of the flights tells that hour too, or two other witnesses by events that they share. */
export const leastGains = { nobody: leastGain, flights: 2, witnesses: 1 } as const
export type Second = keyof typeof leastGains

/** Blocks whose clocks hang together, by place, and the drops and loads that they tell of. */
export interface Group {
  readonly members: readonly number[]
  readonly points: Points
}

/** What is to be added to the offsets of a group, and what it rests on. */
export interface Change {
  readonly seconds: number
  readonly basis: 'majority' | 'tracker'
  readonly isStrong: boolean
  /** Drops that it rests on. */
  readonly drops: number
}

/** Of clocks that agree on nothing but their difference, the one by which drops and loads fit the flights. Null: none, or several. */
export function rightOf(
  { members, points }: Group,
  clocks: readonly BlockClock[],
  flown: Flown,
): Change | null {
  if (points.drops.length < leastDropsOfPair || flown.off.length === 0) return null
  const tried = members
    .map((index) => clocks[index]!.offset)
    .map((offset) => ({ offset, count: misses(points, flown, offset).count }))
    .sort((a, b) => a.count - b.count || Math.abs(a.offset) - Math.abs(b.offset) || a.offset - b.offset)
  const best = tried[0]!
  const rival = tried.find((one) => Math.abs(one.offset - best.offset) > sameHourSeconds)
  const count = points.drops.length + points.loads.length
  const least = best.count === 0 ? leastDropsOfPair : leastGain
  if (!rival || best.count > mostMissed * count || rival.count - best.count < Math.max(least, 0.4 * count))
    return null
  return {
    seconds: -best.offset,
    basis: 'tracker',
    isStrong: rival.count - best.count > leastGain,
    drops: points.drops.length,
  }
}

/** An hour at which points fit flights. */
export interface Fit {
  /** Seconds by which the flights' clock reads late against that of the points. */
  readonly late: number
  /** Blocks whose flights hold a drop. */
  readonly flights: ReadonlySet<number>
  readonly isStrong: boolean
  readonly drops: number
}

/** The whole hour at which the points fit the flights as at no other. Null: they fit as they are, or do not say. */
export function hourOf(points: Points, flown: Flown, secondOf: (late: number) => Second): Fit | null {
  if (flown.off.length === 0) return null
  const count = points.drops.length + points.loads.length
  const now = misses(points, flown, 0)
  const tried = hours
    .map((late) => ({ late, least: leastGains[secondOf(late)], ...misses(points, flown, late) }))
    .sort(
      (a, b) =>
        odd(a) - odd(b) ||
        a.count - b.count ||
        a.least - b.least ||
        Math.abs(a.late) - Math.abs(b.late) ||
        a.late - b.late,
    )
  const [best, rival] = tried
  const gain = now.count - best!.count
  if (best!.count > mostMissed * count || gain < best!.least || gain < 0.4 * count) return null
  if (best!.least === leastGain) {
    const areApart = isApart(points, flown)
    if (points.drops.length > 0 && points.drops.length < (areApart ? 2 : 1) * leastDrops) return null
    if (odd(rival!) - odd(best!) < leastLead + Number(areApart)) return null
  }
  return {
    late: best!.late,
    flights: new Set(best!.serving.map((flight) => flown.block[flown.number.indexOf(flight)]!)),
    isStrong: gain >= (best!.least < leastGain ? leastGain : leastGain + 1),
    drops: points.drops.length,
  }
}

/** Do the points fit the flights as they are, and at no other whole hour nearly as well? Null: no, or there are too few to say. */
export function fitAsTheyAre(points: Points, flown: Flown): Fit | null {
  const count = points.drops.length + points.loads.length
  if (count < leastDrops || flown.off.length === 0 || isApart(points, flown)) return null
  const now = misses(points, flown, 0)
  if (now.count > mostMissed * count) return null
  const lead = Math.min(...hours.map((late) => odd(misses(points, flown, late)))) - odd(now)
  if (lead < leastLead) return null
  return { late: 0, flights: new Set(), isStrong: lead > leastGain, drops: points.drops.length }
}

/**
 * The whole hour, s, by which the flights' clock reads late against that of fills, where by no other so many fills lie on the ground
 * with a take-off soon after. Null: none. A day's few fills are no evidence alone, but days that agree are.
 */
export function hourOfFills({ drops, loads }: Points, flown: Flown): number | null {
  if (drops.length > 0 || loads.length < leastLead || flown.off.length === 0) return null
  const tried = [0, ...hours]
    .map((late) => ({ late, odd: odd(misses({ drops, loads }, flown, late)) }))
    .sort((a, b) => a.odd - b.odd || Math.abs(a.late) - Math.abs(b.late) || a.late - b.late)
  const [best, rival] = tried
  return best!.odd <= mostMissed * loads.length && rival!.odd - best!.odd >= leastLead ? best!.late : null
}

const hours = Array.from({ length: 2 * mostHours + 1 }, (_, place) => (place - mostHours) * 3600).filter(
  (late) => late !== 0,
)

function odd({ count, idle }: Missed): number {
  return count + idle
}

/** Records that do not even overlap may be of other flights. */
function isApart({ drops, loads }: Points, { off, on }: Flown): boolean {
  const points = drops.length > 0 ? drops : loads
  return Math.min(...points) > Math.max(...on) || Math.max(...points) < Math.min(...off)
}
