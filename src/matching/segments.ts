import { idleGapSeconds } from './blocks.ts'
import type { Strand } from './lines.ts'
import {
  DROP,
  entryRank,
  eventKinds,
  FLIGHT,
  LOAD,
  type Observations,
  OFFLOAD,
  type Source,
} from './observations.ts'
import { joinStrands } from './one-kind.ts'
import { Profile } from './profile.ts'
import { partRetold } from './retold.ts'
import { type CommonTimes, type Loads, noLoads, noTimes, type Scene } from './scene.ts'

/** Observations of one aircraft, in common time, cut at idle gaps of 5 h. */
export function segmentsOf(times: CommonTimes, from: number, to: number): number[][] {
  const order = Array.from({ length: to - from }, (_, i) => from + i)
  order.sort((a, b) => times.time[a]! - times.time[b]! || a - b)
  const segments: number[][] = []
  let end = Number.NEGATIVE_INFINITY
  let segment: number[] = []
  for (const index of order) {
    if (segment.length > 0 && times.time[index]! - end >= idleGapSeconds) {
      segments.push(segment)
      segment = []
      end = Number.NEGATIVE_INFINITY
    }
    segment.push(index)
    end = Math.max(end, times.end[index]!)
  }
  if (segment.length > 0) segments.push(segment)
  return segments
}

/** Finds the events of segments, one segment after another. */
export class SegmentEvents {
  readonly #o: Observations
  readonly #times: CommonTimes
  readonly #sources: readonly Source[]
  readonly #ranks: readonly number[]
  readonly #profiles = eventKinds.map(() => new Profile())

  constructor(o: Observations, times: CommonTimes, sources: readonly Source[]) {
    this.#o = o
    this.#times = times
    this.#sources = sources
    this.#ranks = sources.map(({ witness }) => entryRank(witness))
  }

  /** The events of one segment, by kind: until those of the next are asked for. */
  of(segment: readonly number[]): readonly Profile[] {
    const strands = this.#strandsOf(segment)
    const [drops, loads, flights, offloads] = this.#profiles as [Profile, Profile, Profile, Profile]
    this.#join(this.#scene(FLIGHT, noTimes), strands[FLIGHT]!, flights)
    const flown = ascending(timesOf(flights), this.#timesOf(strands[DROP]!))
    joinStrands(this.#scene(LOAD, flown), strands[LOAD]!, loads)
    joinStrands(this.#scene(OFFLOAD, flown), strands[OFFLOAD]!, offloads)
    const filled = ascending(timesOf(loads), timesOf(offloads))
    const known = { time: timesOf(loads), volume: loads.volume.subarray(0, loads.count) }
    this.#join(this.#scene(DROP, filled, known), strands[DROP]!, drops)
    return this.#profiles
  }

  /** Joins strands of which some files may tell again what others tell. */
  #join(scene: Scene, strands: readonly Strand[], profile: Profile): void {
    const parted = strands.flatMap((strand) => partRetold(scene, strand, strands.length === 1))
    joinStrands(scene, parted.length === strands.length ? strands : this.#inOrder(parted), profile)
  }

  #scene(kind: number, breaks: Float64Array, loads: Loads = noLoads): Scene {
    return { o: this.#o, kind, times: this.#times, breaks, loads }
  }

  #timesOf(strands: readonly Strand[]): Float64Array {
    const { time } = this.#times
    const count = strands.reduce((sum, { indices }) => sum + indices.length, 0)
    const told = new Float64Array(count)
    let place = 0
    for (const { indices } of strands) for (const index of indices) told[place++] = time[index]!
    return told
  }

  /** By kind, in the order in which they join. */
  #strandsOf(segment: readonly number[]): Strand[][] {
    const { kind, source } = this.#o
    const strands: (Strand & { indices: number[] })[][] = eventKinds.map(() => [])
    for (const index of segment) {
      const ofKind = strands[kind[index]!]!
      const { family, witness } = this.#sources[source[index]!]!
      const known = ofKind.find((strand) => strand.source === family)
      if (known) known.indices.push(index)
      else {
        ofKind.push({ source: family, indices: [index], mayRun: witness === 'crew' })
      }
    }
    return strands.map((ofKind) => this.#inOrder(ofKind))
  }

  #inOrder(strands: Strand[]): Strand[] {
    return strands.sort(
      (a, b) =>
        this.#ranks[a.source]! - this.#ranks[b.source]! ||
        b.indices.length - a.indices.length ||
        a.source - b.source,
    )
  }
}

function timesOf(profile: Profile): Float64Array {
  return profile.time.subarray(0, profile.count)
}

function ascending(one: Float64Array, other: Float64Array): Float64Array {
  const both = new Float64Array(one.length + other.length)
  both.set(one)
  both.set(other, one.length)
  return both.sort()
}
