import { type BlockClock, sameHourSeconds } from './clock-groups.ts'
import { type Flown, misses, type Points } from './clock-misses.ts'

const mostHours = 12
const leastDrops = 3
/** Of two clocks an hour apart, so many drops are enough where the flights hold all by one and fewer by the other. */
const leastDropsOfPair = 2
/** So many events more must fit the flights before an hour is believed, and so many more than at any other hour. */
const leastGain = 3
const leastLead = 2
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
  if (!rival || best.count > 0.15 * count || rival.count - best.count < Math.max(least, 0.4 * count))
    return null
  return {
    seconds: -best.offset,
    basis: 'tracker',
    isStrong: rival.count - best.count > leastGain,
    drops: points.drops.length,
  }
}

/** The whole hour at which the points fit the flights as at no other. Null: they fit as they are, or do not say. */
export function hourOf(
  points: Points,
  flown: Flown,
  secondOf: (late: number) => Second,
): { late: number; flights: ReadonlySet<number>; isStrong: boolean; drops: number } | null {
  if (flown.off.length === 0) return null
  const count = points.drops.length + points.loads.length
  const now = misses(points, flown, 0)
  const tried = Array.from({ length: 2 * mostHours + 1 }, (_, place) => (place - mostHours) * 3600)
    .filter((late) => late !== 0)
    .map((late) => ({ late, least: leastGains[secondOf(late)], ...misses(points, flown, late) }))
    .sort(
      (a, b) =>
        a.count - b.count || a.least - b.least || Math.abs(a.late) - Math.abs(b.late) || a.late - b.late,
    )
  const [best, rival] = tried
  const gain = now.count - best!.count
  if (best!.count > 0.15 * count || gain < best!.least || gain < 0.4 * count) return null
  if (best!.least === leastGain) {
    const areApart = isApart(points, flown)
    if (points.drops.length < (areApart ? 2 : 1) * leastDrops) return null
    if (rival!.count - best!.count < leastLead + Number(areApart)) return null
  }
  return {
    late: best!.late,
    flights: new Set(best!.serving.map((flight) => flown.block[flown.number.indexOf(flight)]!)),
    isStrong: gain >= (best!.least < leastGain ? leastGain : leastGain + 1),
    drops: points.drops.length,
  }
}

/** Records that do not even overlap may be of other flights. */
function isApart({ drops }: Points, { off, on }: Flown): boolean {
  return Math.min(...drops) > Math.max(...on) || Math.max(...drops) < Math.min(...off)
}
