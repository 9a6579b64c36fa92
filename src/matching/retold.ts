import { fileOfObs, lineOfObs } from '../kinds/index.ts'
import { type AlignmentTask, align, bandWithin } from './alignment.ts'
import { mostApart } from './disagreement.ts'
import type { Strand } from './lines.ts'
import { DROP, FLIGHT, type Observations } from './observations.ts'
import type { Scene } from './scene.ts'
import { nauticalMiles } from './scores.ts'
import { halfGalOf } from './strand.ts'

/** Two lines of one source tell one drop if they lie no farther apart than this beyond rounding, and than that with it: seconds. */
const [near, farthest] = [5 * 60, 10 * 60]
interface Least {
  readonly lines: number
  readonly share: number
}
/**
 * So many lines of a file, and such a share of them, must tell again what others tell. One line says little of a file that
 * may hold no other, as where a crew keeps one for each drop; and few say little where no other source tells of those drops.
 */
const [beside, besideShort, alone]: [Least, Least, Least] = [
  { lines: 1, share: 0.5 },
  { lines: 2, share: 0.5 },
  { lines: 2, share: 0.8 },
]
/** A file with lines beyond this one holds several. */
const shortFile = 4

/**
 * Two hands may write by one profile: two tablets of a crew, a sheet and its fair copy. A file that tells again what other
 * files of its source tell is then a strand of its own, which joins like another source's; the lines of one file are each an
 * event.
 * @param isAlone whether no other source tells of those events
 */
export function partRetold(scene: Scene, strand: Strand, isAlone: boolean): readonly Strand[] {
  const files = filesOf(scene.o, strand.indices)
  if (files.length === 1) return [strand]
  const parts: number[][] = []
  for (const own of files) {
    const part = parts.find((told) => !tellsAgain(scene, own, told, leastOf(scene, own, isAlone)))
    if (part) insertInOrder(scene, part, own)
    else parts.push([...own])
  }
  return parts.length === 1 ? [strand] : parts.map((indices) => ({ ...strand, indices }))
}

/** Lines by file, the longest first; of equals the one whose first line stands first. */
function filesOf(o: Observations, indices: readonly number[]): number[][] {
  const first = fileOfObs(o.obsNo[indices[0]!]!)
  if (indices.every((index) => fileOfObs(o.obsNo[index]!) === first)) return [[...indices]]
  const files = new Map<number, number[]>()
  for (const index of indices) {
    const file = fileOfObs(o.obsNo[index]!)
    const own = files.get(file)
    if (own) own.push(index)
    else files.set(file, [index])
  }
  return [...files.values()].sort((a, b) => b.length - a.length || a[0]! - b[0]!)
}

function insertInOrder({ times }: Scene, part: number[], more: readonly number[]): void {
  part.push(...more)
  part.sort((a, b) => times.time[a]! - times.time[b]! || a - b)
}

function leastOf({ o, kind }: Scene, own: readonly number[], isAlone: boolean): Least {
  if (kind !== DROP) return beside
  if (isAlone) return alone
  return own.some((index) => lineOfObs(o.obsNo[index]!) > shortFile) ? beside : besideShort
}

/** Do these lines tell the events of those, one after another? */
function tellsAgain(scene: Scene, own: readonly number[], told: readonly number[], least: Least): boolean {
  const { times } = scene
  const [rowTimes, columnTimes] = [own, told].map((list) =>
    Float64Array.from(list, (index) => times.time[index]!),
  ) as [Float64Array, Float64Array]
  const isFlight = scene.kind === FLIGHT
  const halfGal = halfGalOf(scene, own) + halfGalOf(scene, told)
  const reach = isFlight ? 12 * 3600 : farthest
  const task: AlignmentTask = {
    rows: own.length,
    columns: told.length,
    ...bandWithin(own.length, rowTimes, told.length, columnTimes, reach),
    longestRun: 1,
    mayPart: false,
    score: (row, column) =>
      isFlight
        ? sharedAir(scene, own[row]!, told[column]!)
        : likeness(scene, own[row]!, told[column]!, halfGal),
    run: () => -1,
    parts: () => -1,
  }
  const again = align(task).column.filter((column) => column >= 0).length
  return again >= least.lines && again >= least.share * own.length
}

/** Above 0 where two lines may tell one drop: more, the nearer in time. @param halfGal what rounding may part their volumes by */
function likeness({ o, times }: Scene, one: number, other: number, halfGal: number): number {
  const apart = Math.abs(times.time[one]! - times.time[other]!)
  if (apart > farthest || apart - times.half[one]! - times.half[other]! > near) return -1
  const [own, gal] = [o.volume[one]!, o.volume[other]!]
  if (Math.abs(own - gal) > Math.max(mostApart.gal, mostApart.share * Math.max(own, gal)) + halfGal) return -1
  if (Math.abs(o.fraction[one]! - o.fraction[other]!) > 0.04) return -1
  const nm = nauticalMiles(o.latitude[one]!, o.longitude[one]!, o.latitude[other]!, o.longitude[other]!)
  return nm > mostApart.nm ? -1 : 1 + (farthest - apart) / farthest
}

/** Above 0 where two spans share more than half the time from the first take-off to the last landing: one aircraft flies once. */
function sharedAir({ times }: Scene, one: number, other: number): number {
  const whole = Math.max(times.end[one]!, times.end[other]!) - Math.min(times.time[one]!, times.time[other]!)
  const shared = Math.min(times.end[one]!, times.end[other]!) - Math.max(times.time[one]!, times.time[other]!)
  return shared > 0.5 * whole ? shared / whole : -1
}
