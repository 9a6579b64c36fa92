import type { Alignment } from './alignment.ts'
import { type Drift, driftAt } from './clock-drift.ts'
import type { Lines } from './lines.ts'
import { lastBefore, type Scene } from './scene.ts'

/** Farther apart than rounding explains, s. */
const leastApart = 120
/** A part is missing where so much of it is; and all of a load is told of up to so much of it. */
const [leastMissing, mostTold] = [0.6, 1.06]
/** The next load, as much as this one within this share, says that all of this one was let go. */
const sameShare = 0.15

/**
 * One witness missed one part of a load, and another the next: taken for one drop, minutes apart, the load would lack a
 * part. Where times lie farther apart than rounding explains, and what was let go comes to the load only if both stand,
 * they are parted.
 */
export function partLone(lines: Lines, found: Alignment, drift: Drift): void {
  const { profile, scene, volumes, written } = lines
  for (let row = 0; row < lines.rows; row++) {
    const event = found.column[row]!
    if (event < 0 || found.length[row] !== 1 || found.isPart[row] || !(volumes[row]! > 0)) continue
    const apart = Math.abs(written[row]! - driftAt(drift, written[row]!) - profile.time[event]!)
    if (apart - lines.halfOf(row) - profile.half[event]! < leastApart) continue
    const load = emptiedAround(scene, profile.time[event]!)
    if (load === null) continue
    let told = 0
    for (let other = 0; other < profile.count; other++)
      if (isWithin(load, profile.time[other]!)) told += profile.volume[other]!
    for (let other = 0; other < lines.rows; other++)
      if (found.column[other]! < 0 && isWithin(load, written[other]!)) told += volumes[other]!
    const missing = load.volume - told
    if (missing >= leastMissing * volumes[row]! && told + volumes[row]! <= mostTold * load.volume)
      found.column[row] = -1
  }
}

interface Emptied {
  readonly from: number
  readonly to: number
  readonly volume: number
}

/** The load before a time, unless the next one says that some of it was kept. */
function emptiedAround({ loads }: Scene, at: number): Emptied | null {
  const place = lastBefore(loads.time, at)
  if (place < 0) return null
  const volume = loads.volume[place]!
  if (Math.abs(loads.volume[place + 1]! - volume) > sameShare * volume) return null
  return { from: loads.time[place]!, to: loads.time[place + 1] ?? Number.POSITIVE_INFINITY, volume }
}

function isWithin({ from, to }: Emptied, time: number): boolean {
  return time > from && time < to
}
