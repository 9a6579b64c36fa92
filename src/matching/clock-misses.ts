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
