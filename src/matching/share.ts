import type { Decisions } from './amendments.ts'
import type { BlockClock } from './clock-groups.ts'
import { type Heard, hearClocks, judgeBeside, judgeDays, speakersOf } from './clock-judgement.ts'
import type { Neighbours, Speaker } from './clock-neighbours.ts'
import { type Offset, settleOffsets } from './clock-offsets.ts'
import { linkAll } from './link.ts'
import { aircraftRanges, type Observations, type Source } from './observations.ts'
import type { Outcome } from './outcome.ts'

/**
 * Some aircraft of a run, from what was observed of them to what happened, in three steps. The only thing that a share needs
 * of the others is who speaks for neighbouring days, after the first.
 */
export class Share {
  readonly #o: Observations
  readonly #sources: readonly Source[]
  #heard: readonly Heard[] = []
  #days: readonly (readonly BlockClock[])[] = []
  #clocks: readonly BlockClock[] = []
  #offsets: readonly Offset[] = []

  constructor(o: Observations, sources: readonly Source[]) {
    this.#o = o
    this.#sources = sources
  }

  /** What each day says of its clocks. @returns the blocks that may speak for others */
  hear(): Speaker[] {
    this.#heard = hearClocks(this.#o)
    this.#days = judgeDays(this.#o, this.#heard, this.#sources)
    return speakersOf(this.#days)
  }

  /** Settles the clocks in the light of all shares. */
  judge(neighbours: Neighbours): { clocks: readonly BlockClock[]; offsets: readonly Offset[] } {
    this.#clocks = judgeBeside(this.#o, this.#heard, this.#days, this.#sources, neighbours)
    this.#offsets = settleOffsets(this.#clocks, this.#sources, neighbours)
    this.#heard = []
    this.#days = []
    return { clocks: this.#clocks, offsets: this.#offsets }
  }

  link(decisions: Decisions): Outcome {
    return linkAll(this.#o, this.#clocks, this.#offsets, this.#sources, decisions)
  }
}

/** Observations cut between aircraft into at most so many parts of about one size, which look into the same memory. */
export function partsOf(o: Observations, most: number): Observations[] {
  const parts: Observations[] = []
  const least = o.count / most
  let from = 0
  for (const [, to] of aircraftRanges(o)) {
    if (to - from < least && to < o.count) continue
    parts.push(cut(o, from, to))
    from = to
  }
  return parts
}

function cut(o: Observations, from: number, to: number): Observations {
  return {
    count: to - from,
    aircraft: o.aircraft.subarray(from, to),
    source: o.source.subarray(from, to),
    kind: o.kind.subarray(from, to),
    start: o.start.subarray(from, to),
    end: o.end.subarray(from, to),
    volume: o.volume.subarray(from, to),
    fraction: o.fraction.subarray(from, to),
    latitude: o.latitude.subarray(from, to),
    longitude: o.longitude.subarray(from, to),
    fire: o.fire.subarray(from, to),
    purpose: o.purpose.subarray(from, to),
    isTimeSet: o.isTimeSet.subarray(from, to),
    obsNo: o.obsNo.subarray(from, to),
    says: o.says.subarray(from, to),
    set: o.set.subarray(from, to),
  }
}
