import type { EventColumns } from './event-columns.ts'
import { isBroken, lastBefore, loadBefore, type Scene } from './scene.ts'
import { apartPenalty, fireScore, purposeScore, worth } from './scores.ts'

const sumShare = 0.1
/** A line that is the whole load pays against one drop of unknown volume as two like volumes would, nearly. */
const wholeGain = -0.5
/** A part that somebody missed is taken for one of its run where it is so many times the mean of the parts that are known. */
const likelyPart = { least: 0.4, most: 2.5 }

/**
 * One line of a crew for the events `first` to `last` of one load: above 0 where it may be. It is their sum within 10 %, or
 * it is the sum with parts whose volume nobody measured, or that nobody else saw, where what is left over is like the
 * parts that are known, and the line and the load that they came from are the same within 10 %.
 * @param volume what the line says, gal, or its fraction of the load
 */
export function runScore(
  scene: Scene,
  index: number,
  time: number,
  volume: number,
  profile: EventColumns,
  first: number,
  last: number,
): number {
  const { o } = scene
  let known = 0
  let unknown = 0
  let fraction = 0
  for (let event = first; event <= last; event++) {
    const gallons = profile.volume[event]!
    if (Number.isNaN(gallons)) unknown++
    else known += gallons
    fraction += profile.fraction[event]!
  }
  const isSum = unknown === 0 && isNear(volume, known)
  const isFractionSum = Number.isNaN(o.volume[index]!) && isNear(o.fraction[index]!, fraction)
  if (!isSum && !isFractionSum && !isWhole(scene, volume, profile, first, last, known, unknown)) return -1
  for (let event = first; event <= last; event++) {
    if (purposeScore(o.purpose[index]!, profile.purpose[event]!) < 0) return -1
  }
  if (isBroken(scene.breaks, profile.time[first]!, profile.time[last]!)) return -1
  const apartMin = Math.max(0, profile.time[first]! - time, time - profile.time[last]!) / 60
  const halfMin = (scene.times.half[index]! + profile.half[first]!) / 60
  return (
    worth -
    (isSum ? 1 : isFractionSum ? 2 : wholeGain) -
    apartPenalty(apartMin, halfMin, 2, 1.5) +
    fireScore(o.fire[index]!, profile.fire[first]!)
  )
}

/** Does the line stand for the whole load, and do the events, with what is missing of them, make up all that was let go of it? */
function isWhole(
  scene: Scene,
  volume: number,
  profile: EventColumns,
  first: number,
  last: number,
  known: number,
  unknown: number,
): boolean {
  const at = profile.time[first]!
  if (!isNear(volume, loadBefore(scene.loads, at))) return false
  const from = lastBefore(scene.breaks, at)
  if (first > 0 && from >= 0 && profile.time[first - 1]! > scene.breaks[from]!) return false
  if (last + 1 < profile.count && !(scene.breaks[from + 1]! < profile.time[last + 1]!)) return false
  const parts = last - first + 1 - unknown
  if (parts === 0) return true
  const left = volume - known
  const mean = known / parts
  if (unknown > 0)
    return left / unknown >= likelyPart.least * mean && left / unknown <= likelyPart.most * mean
  return left >= likelyPart.least * mean && left <= likelyPart.most * mean * parts
}

function isNear(value: number, sum: number): boolean {
  return sum > 0 && Math.abs(value - sum) <= sumShare * sum
}
