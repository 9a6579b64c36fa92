import type { Decisions } from './amendments.ts'
import { Neighbours } from './clock-neighbours.ts'
import { type ClockColumn, clockRows, type SpeakerColumn, speakerRows, speakersIn } from './clock-rows.ts'
import type { Filled } from './growing.ts'
import type { Observations, Source } from './observations.ts'
import type { Linked } from './outcome.ts'
import { Share } from './share.ts'

/** What every hand has to know. */
export interface Briefing {
  readonly sources: readonly Source[]
  readonly decisions: Decisions
}

/**
 * One thread's work in a run: its shares, by number. Every step takes and gives plain data, so that a hand may work in
 * this thread or in another.
 */
export class Hand {
  readonly #briefing: Briefing
  readonly #shares = new Map<number, Share>()
  #neighbours = new Neighbours([], [])

  constructor(briefing: Briefing) {
    this.#briefing = briefing
  }

  /** First: takes a share, and says who of it may speak for neighbours. */
  hear(number: number, o: Observations): { speakers: Filled<SpeakerColumn> } {
    const share = new Share(o, this.#briefing.sources)
    this.#shares.set(number, share)
    return { speakers: speakerRows(share.hear()).filled() }
  }

  /** Then, once: hears the speakers of all shares. */
  listen(speakers: readonly Filled<SpeakerColumn>[]): Record<string, never> {
    this.#neighbours = new Neighbours(
      speakers.flatMap(speakersIn),
      this.#briefing.sources.map((source) => source.family),
    )
    return {}
  }

  judge(number: number): { clocks: Filled<ClockColumn> } {
    const { clocks, offsets } = this.#shares.get(number)!.judge(this.#neighbours)
    return { clocks: clockRows(clocks, offsets).filled() }
  }

  /** Last: the events of a share, which is then laid aside. */
  link(number: number): Linked {
    const outcome = this.#shares.get(number)!.link(this.#briefing.decisions)
    this.#shares.delete(number)
    return outcome.filled()
  }
}
