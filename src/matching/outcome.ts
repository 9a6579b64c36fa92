import type { Decisions, Event } from './amendments.ts'
import { fieldsOf, rankOf, timeField } from './fields.ts'
import { eventKinds, type Observations, type Source } from './observations.ts'
import type { CommonTimes } from './one-kind.ts'
import { Profile } from './profile.ts'
import { pairScore } from './scores.ts'

export const roles = ['event', 'summary', 'part'] as const

/** Links and events of a run, as columns to be appended to the working tables. */
export class Outcome {
  readonly link = {
    event: [] as number[],
    kind: [] as string[],
    obs_no: [] as number[],
    offset_ms: [] as number[],
    role: [] as string[],
    place: [] as number[],
    score: [] as number[],
    apart_min: [] as number[],
    own_gal: [] as number[],
    peer_gal: [] as number[],
    is_amended: [] as boolean[],
  }
  readonly event = {
    event: [] as number[],
    kind: [] as string[],
    aircraft_number: [] as number[],
    second: [] as number[],
    turn: [] as number[],
    segment_second: [] as number[],
    members: [] as number[],
    is_excluded: [] as boolean[],
  }
  #next: number
  constructor(first: number) {
    this.#next = first
  }

  get next(): number {
    return this.#next
  }

  /** Takes the events of one kind in one segment. */
  add(
    o: Observations,
    kind: number,
    events: readonly Event[],
    segmentStart: number,
    times: CommonTimes,
    offsets: Float64Array,
    sources: readonly Source[],
    decisions: Decisions,
  ): void {
    const order = timeOrder[kind]!
    const dated = events.map((event) => {
      const members = [...event.members].sort((a, b) => a - b)
      return { event, members, second: Math.floor(times.time[leader(o, members, order, sources)]!) }
    })
    dated.sort((a, b) => a.second - b.second || a.members[0]! - b.members[0]!)
    let turn = 1
    dated.forEach(({ event, members, second }, index) => {
      turn = index > 0 && dated[index - 1]!.second === second ? turn + 1 : 1
      const number = this.#next++
      this.event.event.push(number)
      this.event.kind.push(eventKinds[kind]!)
      this.event.aircraft_number.push(o.aircraft[members[0]!]!)
      this.event.second.push(second)
      this.event.turn.push(turn)
      this.event.segment_second.push(Math.floor(segmentStart))
      this.event.members.push(members.length + event.summaries.length)
      this.event.is_excluded.push(members.some((member) => decisions.excluded.has(o.obsNo[member]!)))
      this.#links(o, kind, number, { ...event, members }, times, offsets)
    })
  }

  #links(
    o: Observations,
    kind: number,
    number: number,
    event: Event,
    times: CommonTimes,
    offsets: Float64Array,
  ): void {
    const { members } = event
    const all = [...members, ...event.summaries.slice().sort((a, b) => a - b)]
    all.forEach((index, place) => {
      const isSummary = place >= members.length
      const isPart =
        !isSummary && members.some((other) => other !== index && o.source[other] === o.source[index])
      const peer = isSummary
        ? members[0]!
        : (members.find((other) => o.source[other] !== o.source[index]) ?? -1)
      this.link.event.push(number)
      this.link.kind.push(eventKinds[kind]!)
      this.link.obs_no.push(o.obsNo[index]!)
      this.link.offset_ms.push(Math.round(offsets[index]! * 1000))
      this.link.role.push(roles[isSummary ? 1 : isPart ? 2 : 0])
      this.link.place.push(place)
      this.link.score.push(peer < 0 ? 0 : scoreOf(o, index, peer, times))
      this.link.apart_min.push(peer < 0 ? Number.NaN : Math.abs(times.time[index]! - times.time[peer]!) / 60)
      this.link.own_gal.push(o.volume[index]!)
      this.link.peer_gal.push(peer < 0 ? Number.NaN : o.volume[peer]!)
      this.link.is_amended.push(event.isAmended)
    })
  }
}

const timeOrder = eventKinds.map(
  (kind) => fieldsOf[kind].find((field) => field.name === timeField[kind])!.order,
)

/** The member whose time the event takes. */
function leader(
  o: Observations,
  members: readonly number[],
  order: readonly string[],
  sources: readonly Source[],
): number {
  let best = members[0]!
  let least = Number.POSITIVE_INFINITY
  for (const index of members) {
    const rank = o.isTimeSet[index] === 1 ? -1 : rankOf(order, sources[o.source[index]!]!.witness)
    if (rank < least) {
      least = rank
      best = index
    }
  }
  return best
}

const scratch = new Profile()

function scoreOf(o: Observations, index: number, peer: number, times: CommonTimes): number {
  scratch.time[0] = times.time[peer]!
  scratch.end[0] = times.end[peer]!
  scratch.half[0] = times.half[peer]!
  scratch.volume[0] = o.volume[peer]!
  scratch.fraction[0] = o.fraction[peer]!
  scratch.latitude[0] = o.latitude[peer]!
  scratch.longitude[0] = o.longitude[peer]!
  scratch.fire[0] = o.fire[peer]!
  scratch.purpose[0] = o.purpose[peer]!
  const telling = { time: times.time[index]!, end: times.end[index]!, half: times.half[index]! }
  return Math.round(pairScore(o, index, telling, scratch, 0) * 100) / 100
}
