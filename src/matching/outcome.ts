import type { Decisions, Event } from './amendments.ts'
import { disagreementsOf, ranksOf } from './disagreement.ts'
import { timeField } from './fields.ts'
import { Growing } from './growing.ts'
import { eventKinds, type Observations, type Source } from './observations.ts'
import { Profile } from './profile.ts'
import type { CommonTimes } from './scene.ts'
import { pairScore } from './scores.ts'

export const roles = ['event', 'summary', 'part'] as const

const linkColumns = [
  'event',
  'obs_no',
  'offset_ms',
  'role',
  'place',
  'score',
  'apart_min',
  'peer_gal',
] as const
const eventColumns = [
  'event',
  'kind',
  'aircraft',
  'second',
  'turn',
  'segment_second',
  'is_excluded',
  'is_amended',
  'disagreements',
] as const

type Table<Name extends string> = Record<Name, Growing>

function table<Name extends string>(names: readonly Name[]): Table<Name> {
  return Object.fromEntries(names.map((name) => [name, new Growing()])) as Table<Name>
}

/** Links and events of a run, as columns of numbers. */
export class Outcome {
  readonly link: Table<(typeof linkColumns)[number]> = table(linkColumns)
  readonly event: Table<(typeof eventColumns)[number]> = table(eventColumns)
  readonly #o: Observations
  readonly #times: CommonTimes
  /** Seconds taken off each observation's time. */
  readonly #offsets: Float64Array
  readonly #decisions: Decisions
  readonly #byTime: readonly Float64Array[]
  readonly #byVolume: Float64Array
  readonly #byPosition: Float64Array

  constructor(
    o: Observations,
    times: CommonTimes,
    offsets: Float64Array,
    sources: readonly Source[],
    decisions: Decisions,
  ) {
    this.#o = o
    this.#times = times
    this.#offsets = offsets
    this.#decisions = decisions
    this.#byTime = eventKinds.map((kind) => ranksOf(kind, timeField[kind], sources))
    this.#byVolume = ranksOf('drop', 'volume_gal', sources)
    this.#byPosition = ranksOf('drop', 'latitude', sources)
  }

  /** Takes the events of one kind in one segment; ids follow their order in time, then in content. */
  add(kind: number, events: readonly Event[], segmentStart: number): void {
    const dated = events.map((event) => {
      const members = event.members.length === 1 ? event.members : [...event.members].sort((a, b) => a - b)
      return { members, event, second: Math.floor(this.#times.time[this.#leader(kind, members)]!) }
    })
    dated.sort((a, b) => a.second - b.second || a.members[0]! - b.members[0]!)
    let turn = 0
    let before = Number.NaN
    for (const { members, event, second } of dated) {
      turn = second === before ? turn + 1 : 1
      before = second
      const number = this.event.event.count + 1
      const summaries =
        event.summaries.length < 2 ? event.summaries : [...event.summaries].sort((a, b) => a - b)
      this.event.event.push(number)
      this.event.kind.push(kind)
      this.event.aircraft.push(this.#o.aircraft[members[0]!]!)
      this.event.second.push(second)
      this.event.turn.push(turn)
      this.event.segment_second.push(Math.floor(segmentStart))
      this.event.is_excluded.push(this.#isExcluded(members) ? 1 : 0)
      this.event.is_amended.push(event.isAmended ? 1 : 0)
      this.event.disagreements.push(
        members.length + summaries.length > 1
          ? disagreementsOf(this.#o, members, summaries, this.#byVolume, this.#byPosition)
          : 0,
      )
      for (let place = 0; place < members.length; place++)
        this.#link(number, members[place]!, place, members, false)
      for (let i = 0; i < summaries.length; i++)
        this.#link(number, summaries[i]!, members.length + i, members, true)
    }
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

  #link(event: number, index: number, place: number, members: readonly number[], isSummary: boolean): void {
    const o = this.#o
    let peer = -1
    let isPart = false
    for (const other of members) {
      if (other === index) continue
      if (o.source[other] !== o.source[index]) {
        if (peer < 0) peer = other
      } else if (!isSummary) isPart = true
    }
    const { time, end, half } = this.#times
    this.link.event.push(event)
    this.link.obs_no.push(o.obsNo[index]!)
    this.link.offset_ms.push(Math.round(this.#offsets[index]! * 1000))
    this.link.role.push(isSummary ? 1 : isPart ? 2 : 0)
    this.link.place.push(place)
    this.link.score.push(peer < 0 ? 0 : scoreOf(o, index, peer, time, end, half))
    this.link.apart_min.push(peer < 0 ? Number.NaN : Math.abs(time[index]! - time[peer]!) / 60)
    this.link.peer_gal.push(peer < 0 ? Number.NaN : o.volume[peer]!)
  }
}

const scratch = new Profile()

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
