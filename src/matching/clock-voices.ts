import { median } from './clock-drift.ts'

export const neighbourSeconds = 7 * 86_400
export const fleetSeconds = 1.5 * 86_400

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

/** What days around say of a clock. */
export interface Word {
  /** Seconds late. */
  readonly offset: number
  /** By a day of many shared events. */
  readonly isStrong: boolean
  /** How far the nearest of them is, s. */
  readonly apart: number
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
export class Voices {
  readonly #bySource: Lists
  /** Of each source that was asked for, by aircraft. */
  readonly #own = new Map<number, Lists>()

  constructor(speakers: readonly Speaker[]) {
    this.#bySource = new Lists(speakers, 'source')
  }

  get isSilent(): boolean {
    return this.#bySource.isEmpty
  }

  wordOf(block: Place, least: number): Word | null {
    const own: Heard[] = []
    hearAround(this.#ownOf(block), block.start, neighbourSeconds, (other) => {
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
    hearAround(this.#bySource.inTime(block.source), block.start, fleetSeconds, (other) => {
      if (other.aircraft !== block.aircraft) fleet.push(other.offset)
    })
    if (fleet.length < 2) return Number.NaN
    // Other aircraft have clocks of their own: unless most of them agree, they say nothing.
    const middle = median(fleet)
    const agreeing = fleet.filter((offset) => Math.abs(offset - middle) <= sameTimeSeconds)
    return agreeing.length * 2 > fleet.length ? middle : Number.NaN
  }

  #ownOf({ source, aircraft }: Place): readonly Speaker[] {
    let own = this.#own.get(source)
    if (!own) {
      own = new Lists(this.#bySource.of(source), 'aircraft')
      this.#own.set(source, own)
    }
    return own.inTime(aircraft)
  }
}

const nobody: Speaker[] = []

/** Speakers by a number of theirs. Of very many lists few are asked for: each is put in order only then. */
class Lists {
  readonly #lists = new Map<number, Speaker[]>()
  readonly #inTime = new Set<Speaker[]>()

  constructor(speakers: readonly Speaker[], name: 'source' | 'aircraft') {
    for (const speaker of speakers) {
      const list = this.#lists.get(speaker[name])
      if (list) list.push(speaker)
      else this.#lists.set(speaker[name], [speaker])
    }
  }

  get isEmpty(): boolean {
    return this.#lists.size === 0
  }

  of(number: number): Speaker[] {
    return this.#lists.get(number) ?? nobody
  }

  /** The same, ascending in time. */
  inTime(number: number): readonly Speaker[] {
    const list = this.of(number)
    if (this.#inTime.has(list)) return list
    this.#inTime.add(list)
    return list.sort((a, b) => a.start - b.start || a.aircraft - b.aircraft || a.offset - b.offset)
  }
}

/** Those of a list, ascending in time, who began within so many seconds of a time. */
function hearAround(
  known: readonly Speaker[],
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
