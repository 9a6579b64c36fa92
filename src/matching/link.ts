import { type Decisions, decideEvents, type Event } from './amendments.ts'
import type { BlockClock } from './clock-groups.ts'
import type { Offset } from './clock-offsets.ts'
import { aircraftRanges, type Observations, type Source } from './observations.ts'
import { Outcome } from './outcome.ts'
import type { Profile } from './profile.ts'
import type { CommonTimes } from './scene.ts'
import { SegmentEvents, segmentsOf } from './segments.ts'

/** Canonical events of all aircraft. */
export function linkAll(
  o: Observations,
  clocks: readonly BlockClock[],
  offsets: readonly Offset[],
  sources: readonly Source[],
  decisions: Decisions,
  isTouched: (index: number) => boolean = () => true,
): Outcome {
  const times: CommonTimes = {
    time: new Float64Array(o.count),
    end: new Float64Array(o.count),
    half: new Float64Array(o.count),
  }
  const taken = new Float64Array(o.count)
  clocks.forEach((clock, number) => {
    for (let index = clock.block.from; index < clock.block.to; index++) {
      const offset = o.isTimeSet[index] === 1 ? 0 : offsets[number]!.offset
      taken[index] = offset
      times.time[index] = o.start[index]! - offset
      times.end[index] = o.end[index]! - offset
      times.half[index] = clock.block.steps[o.kind[index]!]! / 2
    }
  })
  const outcome = new Outcome(o, times, taken, sources, decisions)
  const events = new SegmentEvents(o, times, sources)
  for (const [from, to] of aircraftRanges(o)) {
    for (const segment of segmentsOf(times, from, to)) {
      if (!segment.some(isTouched)) continue
      const start = times.time[segment[0]!]!
      events.of(segment).forEach((profile, kind) => {
        outcome.add(kind, decideEvents(o, eventsIn(profile), decisions), start)
      })
    }
  }
  return outcome
}

function eventsIn({ members, summaries }: Profile): Event[] {
  return members.map((own, event) => ({ members: own, summaries: summaries[event]!, isAmended: false }))
}
