import { neighbourSeconds, type Place, type Speaker, Voices, type Word } from './clock-voices.ts'
import { clockRanks } from './observations.ts'

/** So many days with few events each must agree before they speak against a day's own evidence. */
export const leastDays = 3

/** So many kinds of clock there are to measure by: the common one, and those of witnesses by rank. */
const mostAgainst = 1 + clockRanks

/** Where a day knows no common clock: by whose clock it measures, by rank of the witness. */
export function againstWitness(rank: number): number {
  return 1 + rank
}

/** Of what is known by different clocks the one to be heard: many shared events go before few, near days before far ones. */
export function isNearer(one: Omit<Word, 'offset'>, other: Omit<Word, 'offset'>): boolean {
  return one.isStrong === other.isStrong ? one.apart < other.apart : one.isStrong
}

/**
 * Who speaks for whom. Days that know the common clock and days that know but the difference of two clocks are heard apart: what
 * they say is late against different clocks.
 */
export class Neighbours {
  readonly speakers: readonly Speaker[]
  readonly #familyOf: readonly number[]
  /** Who tells clocks by the common one. */
  readonly common: Tellers
  /** Who tells them by the clock of one witness, the most trusted witness first. */
  readonly relative: readonly Tellers[]

  /** @param familyOf of each source, as of `Source` */
  constructor(speakers: readonly Speaker[], familyOf: readonly number[]) {
    this.speakers = speakers
    this.#familyOf = familyOf
    const lists: Speaker[][] = Array.from({ length: mostAgainst }, () => [])
    for (const speaker of speakers) lists[speaker.against]!.push(speaker)
    const [common, ...relative] = lists.map((list, against) => new Tellers(list, familyOf, against))
    this.common = common!
    this.relative = relative
  }

  /** Whom speakers reach that speak here and not there, or there and not here. Others hear the same from both. */
  reachOfChanges(other: Neighbours): (block: Place) => boolean {
    const [here, there] = [onlyOf(this.speakers, other.speakers), onlyOf(other.speakers, this.speakers)]
    const [said, saidThere] = [here, there].map((list) => new Set(list.map(textOf)))
    const changed = [
      ...here.filter((speaker) => !saidThere!.has(textOf(speaker))),
      ...there.filter((speaker) => !said!.has(textOf(speaker))),
    ]
    const reached = new Set<string>()
    const dayOf = ({ start }: Place): number => Math.floor(start / 86_400)
    const ownKey = (block: Place, day: number): string =>
      `${this.#familyOf[block.source]}|${day}|${block.aircraft}`
    const fleetKey = (block: Place, day: number): string => `${this.#familyOf[block.source]}|${day}`
    for (const speaker of changed) {
      const day = dayOf(speaker)
      for (let apart = -8; apart <= 8; apart++) reached.add(ownKey(speaker, day + apart))
      for (let apart = -2; apart <= 2; apart++) reached.add(fleetKey(speaker, day + apart))
    }
    return (block) => reached.has(ownKey(block, dayOf(block))) || reached.has(fleetKey(block, dayOf(block)))
  }

  /** All that can be asked about a block, of all who tell: by one day, by as many as count, and with other aircraft if `isFleetAsked`. */
  allOf(block: Place, isFleetAsked: boolean): number[] {
    return [this.common, ...this.relative].flatMap((tellers) => tellers.allOf(block, isFleetAsked))
  }
}

/** Those of a list that are not the very ones of another: most of them are. */
function onlyOf(list: readonly Speaker[], others: readonly Speaker[]): Speaker[] {
  const known = new Set(others)
  return list.filter((speaker) => !known.has(speaker))
}

function textOf({ aircraft, source, start, offset, isStrong, against }: Speaker): string {
  return [aircraft, source, start, offset, isStrong, against].join()
}

/**
 * Those of them who measure by one clock. What a source's own days do not say, its family's do: where one base's tickets are
 * late by an hour, another's may be.
 */
export class Tellers {
  /** As of `OwnWord`. */
  readonly against: number
  readonly #own: Voices
  readonly #speakers: readonly Speaker[]
  readonly #familyOf: readonly number[]
  readonly #hasKin: boolean
  #kinVoices: Voices | null = null

  constructor(speakers: readonly Speaker[], familyOf: readonly number[], against = 0) {
    this.against = against
    this.#speakers = speakers
    this.#familyOf = familyOf
    this.#own = new Voices(speakers)
    this.#hasKin = familyOf.some((family, source) => family !== source)
  }

  /** The same by family; null where nobody has kin. */
  get #kin(): Voices | null {
    if (!this.#hasKin) return null
    this.#kinVoices ??= new Voices(this.#speakers.map((speaker) => this.#asKin(speaker)))
    return this.#kinVoices
  }

  /**
   * What the days around say of a block, not counting itself; null where they say nothing.
   * @param least so many days must speak where none of them is strong
   */
  ownWordOf(block: Place, least: number): Word | null {
    const own = this.#own.wordOf(block, least)
    const voices = own ? null : this.#kin
    if (!voices) return own
    const kin = voices.wordOf(this.#asKin(block), least)
    // Another's clock is heard as if from farther away than any day of one's own.
    return kin && { ...kin, isStrong: false, apart: kin.apart + neighbourSeconds }
  }

  /** The offset of that, s; NaN for nothing. */
  ownOffsetOf(block: Place, least: number): number {
    return this.ownWordOf(block, least)?.offset ?? Number.NaN
  }

  /** What the days around, or else other aircraft of the same days, say of a block that cannot say it itself; NaN for nothing. */
  offsetOf(block: Place): number {
    const own = this.ownOffsetOf(block, 1)
    return Number.isNaN(own) ? this.fleetOffsetOf(block) : own
  }

  /** What other aircraft of the same days say of the source's clock, s, if most of them agree; NaN for nothing. */
  fleetOffsetOf(block: Place): number {
    const own = this.#own.fleetOffsetOf(block)
    return Number.isNaN(own) ? (this.#kin?.fleetOffsetOf(this.#asKin(block)) ?? own) : own
  }

  /** Has anybody anything to tell? */
  get isSilent(): boolean {
    return this.#own.isSilent
  }

  /** All that can be asked about a block: by one day, by as many as count, and with other aircraft if `isFleetAsked`. */
  allOf(block: Place, isFleetAsked: boolean): readonly number[] {
    if (this.isSilent) return nothing
    const [any, most] = [this.ownWordOf(block, 1), this.ownWordOf(block, leastDays)]
    const numbers = (word: Word | null): number[] =>
      word ? [word.offset, Number(word.isStrong), word.apart] : [Number.NaN, 0, 0]
    return [...numbers(any), ...numbers(most), any || !isFleetAsked ? Number.NaN : this.fleetOffsetOf(block)]
  }

  #asKin<One extends Place>(one: One): One {
    return { ...one, source: this.#familyOf[one.source]! }
  }
}

const nothing = [Number.NaN, 0, 0, Number.NaN, 0, 0, Number.NaN] as const
