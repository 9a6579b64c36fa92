import { fileOfObs } from '../kinds/index.ts'
import type { Decisions, Event } from './amendments.ts'
import { Carried, type CarriedColumn, carriedColumns } from './carried.ts'
import { disagreementsOf, ranksOf, TOLD_TWICE } from './disagreement.ts'
import { EventColumns } from './event-columns.ts'
import { timeField } from './fields.ts'
import { Gives } from './gives.ts'
import { type Filled, Growing } from './growing.ts'
import { Marks } from './marks.ts'
import { DROP, eventKinds, FLIGHT, LOAD, type Observations, type Source } from './observations.ts'
import { ascending, isInOrder } from './order.ts'
import { bitOf } from './says.ts'
import type { CommonTimes } from './scene.ts'
import { pairScore } from './scores.ts'

export const roles = ['event', 'summary', 'part'] as const

const linkColumns = {
  event: 'INTEGER',
  kind_no: 'TINYINT',
  obs_no: 'DOUBLE',
  source: 'INTEGER',
  offset_ms: 'INTEGER',
  role_no: 'TINYINT',
  place: 'SMALLINT',
  gives: 'INTEGER',
  set_bits: 'INTEGER',
  score: 'DOUBLE',
  apart_min: 'DOUBLE',
  own_gal: 'DOUBLE',
  peer_gal: 'DOUBLE',
} as const
const eventColumns = {
  event: 'INTEGER',
  kind_no: 'TINYINT',
  aircraft: 'INTEGER',
  second: 'DOUBLE',
  turn: 'INTEGER',
  segment_second: 'DOUBLE',
  witness_bits: 'INTEGER',
  marks: 'TINYINT',
  parts_gal: 'DOUBLE',
  tickets_gal: 'DOUBLE',
  is_excluded: 'TINYINT',
  is_amended: 'TINYINT',
  attested_by: 'SMALLINT',
  disagreements: 'TINYINT',
  ...carriedColumns,
} as const

const carriedNames = Object.keys(carriedColumns) as CarriedColumn[]
const ticketBit = bitOf('load', 'ticket')

type LinkColumn = keyof typeof linkColumns
type EventColumn = keyof typeof eventColumns

/** Links and events as plain data. */
export interface Linked {
  readonly link: Filled<LinkColumn>
  readonly event: Filled<EventColumn>
  /** Bits of the columns that have to be fetched from the observations, by kind. */
  readonly fetched: readonly number[]
}

/** Links and events of a run, as columns of numbers. */
export class Outcome {
  readonly link: Growing<LinkColumn>
  readonly event: Growing<EventColumn>
  readonly #o: Observations
  readonly #times: CommonTimes
  /** Seconds taken off each observation's time. */
  readonly #offsets: Float64Array
  readonly #decisions: Decisions
  readonly #byTime: readonly Float64Array[]
  readonly #byVolume: Float64Array
  readonly #byPosition: Float64Array
  readonly #gives: Gives
  readonly #marks: Marks
  readonly #carried: Carried

  constructor(
    o: Observations,
    times: CommonTimes,
    offsets: Float64Array,
    sources: readonly Source[],
    decisions: Decisions,
  ) {
    // A line that stands for several events has a link to each.
    this.link = new Growing(linkColumns, Math.ceil(1.1 * o.count))
    this.event = new Growing(eventColumns, o.count)
    this.#o = o
    this.#times = times
    this.#offsets = offsets
    this.#decisions = decisions
    this.#byTime = eventKinds.map((kind) => ranksOf(kind, timeField[kind], sources))
    this.#byVolume = ranksOf('drop', 'volume_gal', sources)
    this.#byPosition = ranksOf('drop', 'latitude', sources)
    this.#gives = new Gives(o, sources)
    this.#marks = new Marks(o, sources)
    this.#carried = new Carried(o, offsets)
  }

  filled(): Linked {
    return { link: this.link.filled(), event: this.event.filled(), fetched: this.#carried.fetched }
  }

  /** Takes the events of one kind in one segment; ids follow their order in time, then in content. */
  add(kind: number, events: readonly Event[], segmentStart: number): void {
    const dated = events.map((event) => {
      const members = ascending(event.members)
      return { members, event, second: Math.floor(this.#times.time[this.#leader(kind, members)]!) }
    })
    if (!isInOrder(dated, byTime)) dated.sort(byTime)
    let turn = 0
    let before = Number.NaN
    for (const { members, event, second } of dated) {
      turn = second === before ? turn + 1 : 1
      before = second
      const summaries = ascending(event.summaries)
      const row = this.event.add()
      const { columns } = this.event
      columns.event[row] = row + 1
      columns.kind_no[row] = kind
      columns.aircraft[row] = this.#o.aircraft[members[0]!]!
      columns.second[row] = second
      columns.turn[row] = turn
      columns.segment_second[row] = Math.floor(segmentStart)
      columns.is_excluded[row] = this.#isExcluded(members) ? 1 : 0
      columns.is_amended[row] = event.isAmended ? 1 : 0
      columns.attested_by[row] = members.length + summaries.length
      columns.disagreements[row] =
        members.length + summaries.length > 1
          ? disagreementsOf(this.#o, members, summaries, this.#byVolume, this.#byPosition) |
            (this.#isToldTwice(kind, event) ? TOLD_TWICE : 0)
          : 0
      this.#settle(kind, row, members, summaries)
      for (let place = 0; place < members.length; place++)
        this.#link(kind, row + 1, members[place]!, place, members, false)
      for (let i = 0; i < summaries.length; i++)
        this.#link(kind, row + 1, summaries[i]!, members.length + i, members, true)
    }
  }

  /** Who gives what of an event, and what all of them say together. */
  #settle(kind: number, row: number, members: readonly number[], summaries: readonly number[]): void {
    const { columns } = this.event
    this.#gives.settle(kind, members, summaries)
    const { bits } = this.#gives
    columns.witness_bits[row] = this.#marks.witnessesOf(members, summaries)
    columns.marks[row] = this.#marks.of(kind, members, summaries, bits)
    let sums = noSums
    if (kind === LOAD) {
      const isPart = members.map((index) => this.#isOneOf(kind, index, members))
      sums = this.#marks.sumsOf(members, bits, isPart)
      // The tickets of parts are named together.
      if (isPart.includes(true))
        members.forEach((index, place) => {
          bits[place] = (bits[place]! & ~ticketBit) | (isPart[place] ? this.#o.says[index]! & ticketBit : 0)
        })
    }
    columns.parts_gal[row] = sums.parts
    columns.tickets_gal[row] = sums.tickets
    for (const name of carriedNames) columns[name][row] = Number.NaN
    for (let place = 0; place < bits.length; place++) {
      const index = place < members.length ? members[place]! : summaries[place - members.length]!
      this.#carried.give(kind, columns, row, index, bits[place]!)
    }
  }

  /** Does its source, in one hand, tell of the event more than once? */
  #isOneOf(kind: number, index: number, members: readonly number[]): boolean {
    return members.some((other) => other !== index && this.#isSameHand(kind, other, index))
  }

  /** By one source in two files, and no person's doing. */
  #isToldTwice(kind: number, { members, isAmended }: Event): boolean {
    const { source } = this.#o
    return (
      !isAmended &&
      members.some((one, place) =>
        members.some(
          (other, at) => at > place && source[one] === source[other] && !this.#isSameHand(kind, one, other),
        ),
      )
    )
  }

  /** Of one source, and not one of two files that tell the same again. */
  #isSameHand(kind: number, one: number, other: number): boolean {
    const { source, obsNo } = this.#o
    if (source[one] !== source[other]) return false
    return (kind !== DROP && kind !== FLIGHT) || fileOfObs(obsNo[one]!) === fileOfObs(obsNo[other]!)
  }

  /** The member whose time the event takes. */
  #leader(kind: number, members: readonly number[]): number {
    let leader = members[0]!
    let least = Number.POSITIVE_INFINITY
    for (const index of members) {
      const rank = this.#o.isTimeSet[index] === 1 ? -1 : this.#byTime[kind]![this.#o.source[index]!]!
      if (rank < least) {
        least = rank
        leader = index
      }
    }
    return leader
  }

  #isExcluded(members: readonly number[]): boolean {
    const { excluded } = this.#decisions
    return excluded.size > 0 && members.some((member) => excluded.has(this.#o.obsNo[member]!))
  }

  #link(
    kind: number,
    event: number,
    index: number,
    place: number,
    members: readonly number[],
    isSummary: boolean,
  ): void {
    const o = this.#o
    let peer = -1
    for (const other of members) {
      if (other === index || this.#isSameHand(kind, other, index)) continue
      peer = other
      break
    }
    const isPart = !isSummary && this.#isOneOf(kind, index, members)
    const { time, end, half } = this.#times
    const row = this.link.add()
    const { columns } = this.link
    columns.event[row] = event
    columns.kind_no[row] = kind
    columns.obs_no[row] = o.obsNo[index]!
    columns.source[row] = o.source[index]!
    columns.offset_ms[row] = Math.round(this.#offsets[index]! * 1000)
    columns.role_no[row] = isSummary ? 1 : isPart ? 2 : 0
    columns.place[row] = place
    columns.gives[row] = this.#gives.bits[place]!
    columns.set_bits[row] = o.set[index]!
    columns.score[row] = peer < 0 ? 0 : scoreOf(o, index, peer, time, end, half)
    columns.apart_min[row] = peer < 0 ? Number.NaN : Math.abs(time[index]! - time[peer]!) / 60
    columns.own_gal[row] = this.#marks.gallonsOf(kind, index)
    columns.peer_gal[row] = peer < 0 ? Number.NaN : o.volume[peer]!
  }
}

interface Dated {
  readonly members: readonly number[]
  readonly second: number
}

function byTime(a: Dated, b: Dated): number {
  return a.second - b.second || a.members[0]! - b.members[0]!
}

const noSums = { parts: Number.NaN, tickets: Number.NaN }
const scratch = new EventColumns()

function scoreOf(
  o: Observations,
  index: number,
  peer: number,
  time: Float64Array,
  end: Float64Array,
  half: Float64Array,
): number {
  scratch.time[0] = time[peer]!
  scratch.end[0] = end[peer]!
  scratch.half[0] = half[peer]!
  scratch.volume[0] = o.volume[peer]!
  scratch.halfGal[0] = 0
  scratch.fraction[0] = o.fraction[peer]!
  scratch.latitude[0] = o.latitude[peer]!
  scratch.longitude[0] = o.longitude[peer]!
  scratch.fire[0] = o.fire[peer]!
  scratch.purpose[0] = o.purpose[peer]!
  return Math.round(pairScore(o, index, time[index]!, end[index]!, half[index]!, scratch, 0) * 100) / 100
}
