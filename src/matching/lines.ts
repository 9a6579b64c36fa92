import { type AlignmentTask, bandWithin } from './alignment.ts'
import { type Drift, driftAt, noDrift } from './clock-drift.ts'
import { type Manner, strangers } from './manner.ts'
import { DROP, FLIGHT, LOAD } from './observations.ts'
import type { Profile } from './profile.ts'
import { runScore } from './runs.ts'
import { isBroken, loadBefore, type Scene } from './scene.ts'
import { apartPenalty, flightReachSeconds, pairScore, reachSeconds, volumeScore } from './scores.ts'

const longestRun = 6

/** Times and volumes of the lines at hand: working space, kept between strands, which are many and small. */
let [writtenSpace, volumeSpace, startSpace, endSpace] = spaces(64)

function spaces(room: number): [Float64Array, Float64Array, Float64Array, Float64Array] {
  return [new Float64Array(room), new Float64Array(room), new Float64Array(room), new Float64Array(room)]
}

/** What one source tells of one kind in one segment: observations in time order. */
export interface Strand {
  readonly source: number
  readonly indices: readonly number[]
  /** May one line of it stand for a run of events? Crews write so. */
  readonly mayRun: boolean
}

/**
 * The lines of one strand beside the events told so far, laid by a clock and read in a manner: what is aligned, before the
 * next strand is read.
 */
export class Lines implements AlignmentTask {
  readonly kind: number
  readonly rows: number
  readonly columns: number
  readonly profile: Profile
  /** Half the rounding step of their volumes, gal. */
  readonly halfGal: number
  /** Half the rounding step of the first line's clock, s. */
  readonly half: number
  /** Common time as their clock has it, s, one per row. */
  readonly written: Float64Array
  /** Gallons that each says, or that its fraction of the load comes to. */
  readonly volumes: Float64Array
  readonly longestRun: number
  readonly mayPart: boolean
  low: readonly number[] = []
  high: readonly number[] = []
  readonly scene: Scene
  readonly #indices: readonly number[]
  readonly #starts: Float64Array
  readonly #ends: Float64Array
  #manner: Manner

  constructor(scene: Scene, profile: Profile, { indices, mayRun }: Strand, halfGal: number) {
    const { kind, times } = scene
    const count = indices.length
    this.kind = kind
    this.rows = count
    this.columns = profile.count
    this.profile = profile
    this.halfGal = halfGal
    this.half = count === 0 ? 0 : times.half[indices[0]!]!
    this.longestRun = kind === DROP && mayRun ? longestRun : 1
    this.mayPart = kind === LOAD
    if (count > writtenSpace.length) [writtenSpace, volumeSpace, startSpace, endSpace] = spaces(2 * count)
    this.written = writtenSpace
    this.volumes = volumeSpace
    this.scene = scene
    this.#indices = indices
    this.#starts = startSpace
    this.#ends = endSpace
    this.#manner = strangers[kind]!
    for (let row = 0; row < count; row++) {
      this.written[row] = times.time[indices[row]!]!
      this.volumes[row] = volumeOf(scene, indices[row]!)
    }
  }

  /** By a clock that drifts so, in a manner. */
  lay(drift: Drift, manner: Manner): void {
    const { times } = this.scene
    for (let row = 0; row < this.rows; row++) {
      const error = drift === noDrift ? 0 : driftAt(drift, this.written[row]!)
      this.#starts[row] = this.written[row]! - error
      this.#ends[row] = times.end[this.#indices[row]!]! - error
    }
    const reach = this.kind === FLIGHT ? flightReachSeconds : reachSeconds
    const { low, high } = bandWithin(this.rows, this.#starts, this.columns, this.profile.time, reach)
    this.low = low
    this.high = high
    this.#manner = manner
  }

  /** Half the rounding step of a line's clock, s. */
  halfOf(row: number): number {
    return this.scene.times.half[this.#indices[row]!]!
  }

  score(row: number, event: number): number {
    const index = this.#indices[row]!
    return pairScore(
      this.scene.o,
      index,
      this.#starts[row]!,
      this.#ends[row]!,
      this.scene.times.half[index]!,
      this.profile,
      event,
      this.volumes[row]!,
      this.halfGal,
      this.#manner,
    )
  }

  run(row: number, first: number, last: number): number {
    const [time, volume] = [this.#starts[row]!, this.volumes[row]!]
    return runScore(this.scene, this.#indices[row]!, time, volume, this.profile, first, last)
  }

  parts(row: number, event: number): number {
    const { profile } = this
    const sum = this.volumes[row - 1]! + this.volumes[row]!
    if (!(Math.abs(sum - profile.volume[event]!) <= 0.1 * profile.volume[event]!)) return -1
    const [early, late] = [this.#starts[row - 1]!, this.#starts[row]!]
    if (isBroken(this.scene.breaks, early, late)) return -1
    const apart = Math.max(0, early - profile.time[event]!, profile.time[event]! - late)
    const half = this.halfOf(row) + profile.half[event]!
    return (
      7 -
      apartPenalty(apart / 60, half / 60, 4, 1.5) +
      volumeScore(sum, profile.volume[event]!, 2 * this.halfGal, 0.05)
    )
  }
}

function volumeOf({ o, kind, loads, times }: Scene, index: number): number {
  const said = o.volume[index]!
  if (kind !== DROP || !Number.isNaN(said)) return said
  const fraction = o.fraction[index]!
  return Number.isNaN(fraction) ? said : fraction * loadBefore(loads, times.time[index]!)
}
