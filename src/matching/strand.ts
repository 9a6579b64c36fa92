import { type Alignment, align, bandWithin } from './alignment.ts'
import { type Drift, driftAt, fitDrift, noDrift } from './clock-drift.ts'
import { type Manner, mannerOf, type Pairs, strangers } from './manner.ts'
import { DROP, FLIGHT, LOAD } from './observations.ts'
import type { Profile } from './profile.ts'
import { volumeStep } from './rounding.ts'
import { runScore } from './runs.ts'
import { isBroken, loadBefore, type Scene } from './scene.ts'
import { apartPenalty, flightReachSeconds, pairScore, reachSeconds, volumeScore } from './scores.ts'
import { fillTies, settleTies } from './ties.ts'

/** What one source tells of one kind in one segment: observations in time order. */
export interface Strand {
  readonly source: number
  readonly indices: readonly number[]
  /** May one line of it stand for a run of events? Crews write so. */
  readonly mayRun: boolean
}

const minute = 60
const longestRun = 6
/** Drifts tried beside the one that the pairs show, where rounding hides them: seconds gained per second. */
const hiddenDrifts = [-4, -2, 2, 4].map((minutes) => (minutes * minute) / (9 * 3600))
const leastForHidden = 9
/** A drift that nothing else shows has to earn so much. */
const hiddenCost = 1

/** Half the rounding step of a strand's volumes, gal. */
export function halfGalOf(scene: Scene, strand: Strand): number {
  return volumeStep(strand.indices.map((index) => scene.o.volume[index]!)) / 2
}

/**
 * The strand's place among the events told so far: aligned once as a stranger's, then by what the pairs tell of its
 * clock and its manner; where a coarse clock hides whether it drifts, by the drift that makes most of it.
 */
export function placeStrand(scene: Scene, profile: Profile, strand: Strand, halfGal: number): Alignment {
  const stranger = strangers[scene.kind]!
  const first = alignStrand(scene, profile, strand, halfGal, noDrift, stranger)
  const { drift, manner } = learn(scene, profile, strand, halfGal, first)
  if (drift === noDrift && manner === stranger) return first
  let best = alignStrand(scene, profile, strand, halfGal, drift, manner)
  const { indices } = strand
  const half = scene.times.half[indices[0]!]!
  if (scene.kind !== DROP || half <= minute || indices.length < leastForHidden) return best
  const middle = drift === noDrift ? scene.times.time[indices[indices.length >> 1]!]! : drift.middle
  for (const more of hiddenDrifts) {
    const hidden = { middle, level: drift.level, slope: drift.slope + more }
    const other = alignStrand(scene, profile, strand, halfGal, hidden, manner)
    if (other.total > best.total + hiddenCost) best = other
  }
  return best
}

function learn(
  scene: Scene,
  profile: Profile,
  { indices }: Strand,
  halfGal: number,
  found: Alignment,
): { drift: Drift; manner: Manner } {
  const { kind, times } = scene
  const rows: number[] = []
  const at: number[] = []
  const residuals: number[] = []
  for (let row = 0; row < indices.length; row++) {
    const event = found.column[row]!
    if (event < 0 || found.length[row] !== 1 || found.isPart[row] === 1) continue
    const time = times.time[indices[row]!]!
    rows.push(row)
    at.push(time)
    residuals.push(time - profile.time[event]!)
  }
  const own = indices.length > 0 ? times.half[indices[0]!]! : 0
  const drift = fitDrift(at, residuals, own)
  if (kind === FLIGHT) return { drift, manner: strangers[kind]! }
  const pairs: Pairs = { apartMin: [], share: [] }
  rows.forEach((row, i) => {
    const [index, event] = [indices[row]!, found.column[row]!]
    const half = times.half[index]! + profile.half[event]!
    pairs.apartMin.push(Math.max(0, Math.abs(residuals[i]! - driftAt(drift, at[i]!)) - half) / minute)
    const [own, other] = [volumeOf(scene, index), profile.volume[event]!]
    if (own > 0 && other > 0)
      pairs.share.push(
        Math.max(0, Math.abs(own - other) - halfGal - profile.halfGal[event]!) / Math.max(own, other),
      )
  })
  return { drift, manner: mannerOf(kind, pairs, own > 1) }
}

/** Gallons that a line says, or that its fraction of the load comes to. */
function volumeOf(scene: Scene, index: number): number {
  const said = scene.o.volume[index]!
  if (scene.kind !== DROP || !Number.isNaN(said)) return said
  const fraction = scene.o.fraction[index]!
  return Number.isNaN(fraction) ? said : fraction * loadBefore(scene.loads, scene.times.time[index]!)
}

function alignStrand(
  scene: Scene,
  profile: Profile,
  strand: Strand,
  halfGal: number,
  drift: Drift,
  manner: Manner,
): Alignment {
  const { o, kind, times } = scene
  const { indices } = strand
  const count = indices.length
  const starts = new Float64Array(count)
  const ends = new Float64Array(count)
  const volumes = new Float64Array(count)
  for (let row = 0; row < count; row++) {
    const index = indices[row]!
    const error = drift === noDrift ? 0 : driftAt(drift, times.time[index]!)
    starts[row] = times.time[index]! - error
    ends[row] = times.end[index]! - error
    volumes[row] = volumeOf(scene, index)
  }
  const band = bandWithin(starts, profile.time, kind === FLIGHT ? flightReachSeconds : reachSeconds)
  const score = (row: number, event: number): number => {
    const index = indices[row]!
    const half = times.half[index]!
    return pairScore(o, index, starts[row]!, ends[row]!, half, profile, event, volumes[row]!, halfGal, manner)
  }
  const run = (row: number, first: number, last: number): number =>
    runScore(scene, indices[row]!, starts[row]!, volumes[row]!, profile, first, last)
  const parts = (row: number, event: number): number => {
    const sum = volumes[row - 1]! + volumes[row]!
    if (!(Math.abs(sum - profile.volume[event]!) <= 0.1 * profile.volume[event]!)) return -1
    const [early, late] = [starts[row - 1]!, starts[row]!]
    if (isBroken(scene.breaks, early, late)) return -1
    const apart = Math.max(0, early - profile.time[event]!, profile.time[event]! - late)
    const half = times.half[indices[row]!]! + profile.half[event]!
    return (
      7 -
      apartPenalty(apart / minute, half / minute, 4, 1.5) +
      volumeScore(sum, profile.volume[event]!, 2 * halfGal, 0.05)
    )
  }
  const found = align({
    rows: count,
    columns: profile.count,
    low: band.low,
    high: band.high,
    score,
    longestRun,
    run: kind === DROP && strand.mayRun ? run : undefined,
    parts: kind === LOAD ? parts : undefined,
  })
  const written = indices.map((index) => times.time[index]!)
  const half = count === 0 ? 0 : times.half[indices[0]!]!
  const near = half > 1 ? 2 * half + minute * manner.slackMin : 0
  settleTies(written, found, score, near)
  fillTies(written, found, profile.count, score, near)
  return found
}
