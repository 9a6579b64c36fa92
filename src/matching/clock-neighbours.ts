import { median } from './clock-drift.ts'
import { clockRanks } from './observations.ts'

export const neighbourSeconds = 7 * 86_400
export const fleetSeconds = 1.5 * 86_400

/** So many days with few events each must agree before they speak against a day's own evidence. */
export const leastDays = 3

/** Clocks that differ by no more tell one time. */
const sameTimeSeconds = 300

/** A block, as its neighbours know it. */
export interface Place {
  readonly aircraft: number
  readonly source: number
  readonly start: number
}

/** What its own day says of a clock. */
export interface OwnWord {
  /** Seconds late. */
  readonly offset: number
  /** By many shared events. Others are heard only where no such one is near. */
  readonly isStrong: boolean
  /** Late against what: 0 for the common clock, else `againstWitness` of whose clock the day measures by. */
  readonly against: number
}

/** A block that may speak for its neighbours, by what its own day says. */
export interface Speaker extends Place, OwnWord {}

/** So many kinds of clock there are to measure by: the common one, and those of witnesses by rank. */
const mostAgainst = 1 + clockRanks

/** Where a day knows no common clock: by whose clock it measures, by rank of the witness. */
export function againstWitness(rank: number): number {
  return 1 + rank
}

/** What days around say of a clock. */
export interface Word {
  /** Seconds late. */
  readonly offset: number
  /** By a day of many shared events. */
  readonly isStrong: boolean
  /** How far the nearest of them is, s. */
  readonly apart: number
}

/** Of what is known by different clocks the one to be heard: many shared events go before few, near days before far ones. */
export function isNearer(one: Omit<Word, 'offset'>, other: Omit<Word, 'offset'>): boolean {
  return one.isStrong === other.isStrong ? one.apart < other.apart : one.isStrong
}

/**
 * The median of what days say of a clock, the nearest first; NaN for none. Of two in the middle that tell different times the
 * midpoint is no clock's: the farthest day is then not heard.
 */
function toldBy(nearestFirst: readonly number[]): number {
  const middle = median(nearestFirst)
  const isSomebodys = nearestFirst.some((offset) => Math.abs(offset - middle) <= sameTimeSeconds)
  return isSomebodys ? middle : median(nearestFirst.slice(0, -1))
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
    const wordOf = (speaker: Speaker): string =>
      [
        speaker.aircraft,
        speaker.source,
        speaker.start,
        speaker.offset,
        speaker.isStrong,
        speaker.against,
      ].join()
    const [here, there] = [this.speakers, other.speakers].map((list) => new Set(list.map(wordOf)))
    const changed = [
      ...this.speakers.filter((speaker) => !there!.has(wordOf(speaker))),
      ...other.speakers.filter((speaker) => !here!.has(wordOf(speaker))),
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

/**
 * Those of them who measure by one clock. What a source's own days do not say, its family's do: where one base's tickets are
 * late by an hour, another's may be.
 */
export class Tellers {
  /** As of `OwnWord`. */
  readonly against: number
  readonly #own: Voices
  /** The same by family; null where nobody has kin. */
  readonly #kin: Voices | null
  readonly #familyOf: readonly number[]

  constructor(speakers: readonly Speaker[], familyOf: readonly number[], against = 0) {
    this.against = against
    this.#familyOf = familyOf
    this.#own = new Voices(speakers)
    const hasKin = familyOf.some((family, source) => family !== source)
    this.#kin = hasKin ? new Voices(speakers.map((speaker) => this.#asKin(speaker))) : null
  }

  /**
   * What the days around say of a block, not counting itself; null where they say nothing.
   * @param least so many days must speak where none of them is strong
   */
  ownWordOf(block: Place, least: number): Word | null {
    const own = this.#own.wordOf(block, least)
    if (own || !this.#kin) return own
    const kin = this.#kin.wordOf(this.#asKin(block), least)
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
    return Number.isNaN(own) && this.#kin ? this.#kin.fleetOffsetOf(this.#asKin(block)) : own
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

/** A day around. */
interface Heard {
  readonly apart: number
  readonly offset: number
  readonly isStrong: boolean
}

function toldByOwn(own: readonly Heard[], least: number): Word | null {
  const strong = own.filter((item) => item.isStrong)
  const heard = strong.length > 0 ? strong.slice(0, 3) : own.length >= least ? own.slice(0, 5) : []
  if (heard.length === 0) return null
  const { apart, isStrong } = heard[0]!
  return { offset: toldBy(heard.map((item) => item.offset)), isStrong, apart }
}

/** Who speaks for whom: the same source on the same aircraft within a week, else on other aircraft within a day and a half. */
class Voices {
  readonly #bySource = new Map<number, Speaker[]>()
  /** Of each source, by aircraft. */
  readonly #own = new Map<number, Map<number, Speaker[]>>()

  constructor(speakers: readonly Speaker[]) {
    for (const speaker of speakers) {
      const list = this.#bySource.get(speaker.source)
      if (list) list.push(speaker)
      else this.#bySource.set(speaker.source, [speaker])
    }
    for (const [source, list] of this.#bySource) {
      list.sort((a, b) => a.start - b.start || a.aircraft - b.aircraft || a.offset - b.offset)
      const own = new Map<number, Speaker[]>()
      for (const speaker of list) {
        const ofAircraft = own.get(speaker.aircraft)
        if (ofAircraft) ofAircraft.push(speaker)
        else own.set(speaker.aircraft, [speaker])
      }
      this.#own.set(source, own)
    }
  }

  get isSilent(): boolean {
    return this.#bySource.size === 0
  }

  wordOf(block: Place, least: number): Word | null {
    const own: Heard[] = []
    hearAround(this.#own.get(block.source)?.get(block.aircraft), block.start, neighbourSeconds, (other) => {
      const apart = Math.abs(other.start - block.start)
      if (apart > 0) own.push({ apart, offset: other.offset, isStrong: other.isStrong })
    })
    return toldByOwn(
      own.sort((a, b) => a.apart - b.apart || a.offset - b.offset),
      least,
    )
  }

  fleetOffsetOf(block: Place): number {
    const fleet: number[] = []
    hearAround(this.#bySource.get(block.source), block.start, fleetSeconds, (other) => {
      if (other.aircraft !== block.aircraft) fleet.push(other.offset)
    })
    if (fleet.length < 2) return Number.NaN
    // Other aircraft have clocks of their own: unless most of them agree, they say nothing.
    const middle = median(fleet)
    const agreeing = fleet.filter((offset) => Math.abs(offset - middle) <= sameTimeSeconds)
    return agreeing.length * 2 > fleet.length ? middle : Number.NaN
  }
}

/** Those of a list, ascending in time, who began within so many seconds of a time. */
function hearAround(
  known: readonly Speaker[] = [],
  time: number,
  reach: number,
  hear: (speaker: Speaker) => void,
): void {
  let low = 0
  let high = known.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (known[middle]!.start < time - reach) low = middle + 1
    else high = middle
  }
  for (let i = low; i < known.length && known[i]!.start <= time + reach; i++) hear(known[i]!)
}
