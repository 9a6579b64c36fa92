import { idleGapSeconds } from './blocks.ts'
import {
  DROP,
  entryRank,
  eventKinds,
  FLIGHT,
  LOAD,
  type Observations,
  OFFLOAD,
  type Source,
} from './observations.ts'
import { joinStrands } from './one-kind.ts'
import type { Profile } from './profile.ts'
import { type CommonTimes, noLoads, type Scene } from './scene.ts'
import type { Strand } from './strand.ts'

/** Observations of one aircraft, in common time, cut at idle gaps of 5 h. */
export function segmentsOf(times: CommonTimes, from: number, to: number): number[][] {
  const order = Array.from({ length: to - from }, (_, i) => from + i)
  order.sort((a, b) => times.time[a]! - times.time[b]! || a - b)
  const segments: number[][] = []
  let end = Number.NEGATIVE_INFINITY
  let segment: number[] = []
  for (const index of order) {
    if (segment.length > 0 && times.time[index]! - end >= idleGapSeconds) {
      segments.push(segment)
      segment = []
      end = Number.NEGATIVE_INFINITY
    }
    segment.push(index)
    end = Math.max(end, times.end[index]!)
  }
  if (segment.length > 0) segments.push(segment)
  return segments
}

/** The events of one segment, by kind. */
export function eventsOf(
  o: Observations,
  segment: readonly number[],
  times: CommonTimes,
  sources: readonly Source[],
): Profile[] {
  const strands = eventKinds.map((_, kind) => strandsOf(o, segment, kind, sources))
  const scene = (kind: number, breaks: readonly number[], loads = noLoads): Scene => ({
    o,
    kind,
    times,
    breaks,
    loads,
  })
  const flights = joinStrands(scene(FLIGHT, []), strands[FLIGHT]!)
  const flown = [...flights.time, ...dropTimes(o, segment, times)].sort((a, b) => a - b)
  const loads = joinStrands(scene(LOAD, flown), strands[LOAD]!)
  const offloads = joinStrands(scene(OFFLOAD, flown), strands[OFFLOAD]!)
  const filled = [...loads.time, ...offloads.time].sort((a, b) => a - b)
  const drops = joinStrands(scene(DROP, filled, loads), strands[DROP]!)
  const events: Profile[] = []
  events[DROP] = drops
  events[LOAD] = loads
  events[FLIGHT] = flights
  events[OFFLOAD] = offloads
  return events
}

function dropTimes(o: Observations, segment: readonly number[], times: CommonTimes): number[] {
  return segment.filter((index) => o.kind[index] === DROP).map((index) => times.time[index]!)
}

function strandsOf(
  o: Observations,
  segment: readonly number[],
  kind: number,
  sources: readonly Source[],
): Strand[] {
  const bySource = new Map<number, number[]>()
  for (const index of segment) {
    if (o.kind[index] !== kind) continue
    const list = bySource.get(o.source[index]!)
    if (list) list.push(index)
    else bySource.set(o.source[index]!, [index])
  }
  return [...bySource]
    .map(([source, indices]) => ({ source, indices, mayRun: sources[source]!.witness === 'crew' }))
    .sort(
      (a, b) =>
        entryRank(sources[a.source]!.witness) - entryRank(sources[b.source]!.witness) ||
        b.indices.length - a.indices.length ||
        a.source - b.source,
    )
}
