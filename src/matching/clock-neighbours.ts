import { median } from './clock-drift.ts'

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

/** A block that may speak for its neighbours, by what its own day says. */
export interface Speaker {
  readonly aircraft: number
  readonly source: number
  readonly start: number
  readonly offset: number
  /** By many shared events. Others are heard only where no such one is near. */
  readonly isStrong: boolean
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

/** Who speaks for whom: the same source on the same aircraft within a week, else on other aircraft within a day and a half. */
export class Neighbours {
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

  /**
   * What the days around say of a block's offset, s, not counting itself; NaN where they say nothing.
   * @param least so many days must speak where none of them is strong
   */
  ownOffsetOf(block: Place, least: number): number {
    return toldByOwn(this.#ownOf(block), least)
  }

  /** What the days around, or else other aircraft of the same days, say of a block that cannot say it itself; NaN for nothing. */
  offsetOf(block: Place): number {
    const own = this.ownOffsetOf(block, 1)
    return Number.isNaN(own) ? this.#fleetOffsetOf(block) : own
  }

  /** All that can be asked about a block: by one day, by as many as count, and with other aircraft if `isFleetAsked`. */
  allOf(block: Place, isFleetAsked: boolean): readonly [number, number, number] {
    const own = this.#ownOf(block)
    const any = toldByOwn(own, 1)
    return [
      any,
      toldByOwn(own, leastDays),
      Number.isNaN(any) && isFleetAsked ? this.#fleetOffsetOf(block) : any,
    ]
  }

  /** The days around of the same clock, nearest first. */
  #ownOf(block: Place): Heard[] {
    const own: Heard[] = []
    hearAround(this.#own.get(block.source)?.get(block.aircraft), block.start, neighbourSeconds, (other) => {
      const apart = Math.abs(other.start - block.start)
      if (apart > 0) own.push({ apart, offset: other.offset, isStrong: other.isStrong })
    })
    return own.sort((a, b) => a.apart - b.apart || a.offset - b.offset)
  }

  #fleetOffsetOf(block: Place): number {
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

/** A day around. */
interface Heard {
  readonly apart: number
  readonly offset: number
  readonly isStrong: boolean
}

function toldByOwn(own: readonly Heard[], least: number): number {
  const strong = own.filter((item) => item.isStrong)
  if (strong.length > 0) return toldBy(strong.slice(0, 3).map((item) => item.offset))
  return own.length >= least ? toldBy(own.slice(0, 5).map((item) => item.offset)) : Number.NaN
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
