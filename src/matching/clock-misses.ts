import { purposes } from '../kinds/index.ts'
import type { BlockClock } from './clock-groups.ts'
import { DROP, FLIGHT, LOAD, type Observations, type Source } from './observations.ts'

/** Times of drops and loads, seconds, by one clock. */
export interface Points {
  readonly drops: readonly number[]
  readonly loads: readonly number[]
}

/** Flights by one clock, seconds, as parallel lists; `number` is the observation, `block` the place of its block. */
export interface Flown {
  readonly off: number[]
  readonly on: number[]
  readonly number: number[]
  readonly block: number[]
}

const marginSeconds = 3 * 60
const insideSeconds = 5 * 60
/** Who is filled is mostly off so soon. */
const readySeconds = 40 * 60
const nearSeconds = 15 * 3600
const groundTest = purposes.indexOf('ground-test')

/** How points miss flights. */
export interface Missed {
  /** Drops that lie in no flight, and loads that lie within one. */
  readonly count: number
  /** Where loads alone are told of: those after which nobody took off soon. */
  readonly idle: number
  /** Flights that hold a drop. */
  readonly serving: readonly number[]
}

/** How the points miss the flights if the flights' clock reads so many seconds late against that of the points. */
export function misses({ drops, loads }: Points, { off, on, number }: Flown, late: number): Missed {
  const serving = new Set<number>()
  let count = 0
  for (const drop of drops) {
    const at = drop + late
    let isHeld = false
    for (let i = 0; i < off.length; i++) {
      if (at < off[i]! - marginSeconds || at > on[i]! + marginSeconds) continue
      isHeld = true
      serving.add(number[i]!)
    }
    if (!isHeld) count++
  }
  for (const load of loads) {
    const at = load + late
    for (let i = 0; i < off.length; i++) {
      if (at <= off[i]! + insideSeconds || at >= on[i]! - insideSeconds) continue
      count++
      break
    }
  }
  const isIdle = (load: number): boolean =>
    !off.some((time) => time >= load + late - insideSeconds && time <= load + late + readySeconds)
  return { count, idle: drops.length > 0 ? 0 : loads.filter(isIdle).length, serving: [...serving] }
}

/** Drops and loads of a group in its common time, each kind as the member tells it that has most of them. */
export function pointsOf(o: Observations, clocks: readonly BlockClock[], members: readonly number[]): Points {
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
export function flownNear(
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

/**
 * How many drops and loads of a block miss the tracker's flights if its clock reads so many seconds late.
 * @param clocks of any number of aircraft, in the order of `Observations`
 */
export function missesByBlock(
  o: Observations,
  clocks: readonly BlockClock[],
  sources: readonly Source[],
): (index: number, offset: number) => number {
  const trackers = new Map<number, number[]>()
  clocks.forEach(({ block }, index) => {
    if (sources[block.source]!.witness !== 'tracker' || block.byKind[FLIGHT]!.length === 0) return
    const list = trackers.get(block.aircraft)
    if (list) list.push(index)
    else trackers.set(block.aircraft, [index])
  })
  return (index, offset) => {
    const flying = trackers.get(clocks[index]!.block.aircraft)
    if (!flying) return 0
    const points = pointsOf(o, clocks, [index])
    const { count, idle } = misses(
      points,
      flownNear(o, clocks, [flying], points),
      clocks[index]!.offset - offset,
    )
    return count + idle
  }
}
