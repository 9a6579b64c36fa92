import { purposes } from '../kinds/index.ts'
import type { BlockClock } from './clock-groups.ts'
import { DROP, FLIGHT, LOAD, type Observations } from './observations.ts'

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
const nearSeconds = 15 * 3600
const groundTest = purposes.indexOf('ground-test')

/**
 * How many drops lie in no flight and how many loads within one, if the flights' clock reads so many seconds late against
 * that of the points; and which flights hold a drop.
 */
export function misses(
  { drops, loads }: Points,
  { off, on, number }: Flown,
  late: number,
): { count: number; serving: number[] } {
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
  return { count, serving: [...serving] }
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
