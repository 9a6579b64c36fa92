import type { Decisions } from './amendments.ts'
import type { BlockClock } from './clock-groups.ts'
import { type Heard, hearClocks, judgeBeside, judgeDays, speakersOf } from './clock-judgement.ts'
import { missesByBlock } from './clock-misses.ts'
import type { Neighbours } from './clock-neighbours.ts'
import { type Offset, settleOffsets } from './clock-offsets.ts'
import type { Speaker } from './clock-voices.ts'
import { linkAll } from './link.ts'
import type { Observations, Source } from './observations.ts'
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
    this.#heard = hearClocks(this.#o, this.#sources)
    this.#days = judgeDays(this.#o, this.#heard, this.#sources)
    return speakersOf(this.#days)
  }

  /** Settles the clocks in the light of all shares. */
  judge(neighbours: Neighbours): { clocks: readonly BlockClock[]; offsets: readonly Offset[] } {
    this.#clocks = judgeBeside(this.#o, this.#heard, this.#days, this.#sources, neighbours)
    this.#offsets = settleOffsets(
      this.#clocks,
      this.#sources,
      neighbours,
      missesByBlock(this.#o, this.#clocks, this.#sources),
    )
    this.#heard = []
    this.#days = []
    return { clocks: this.#clocks, offsets: this.#offsets }
  }

  link(decisions: Decisions): Outcome {
    return linkAll(this.#o, this.#clocks, this.#offsets, this.#sources, decisions)
  }
}
