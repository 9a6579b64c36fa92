import type { Warehouse } from '../warehouse/index.ts'
import { type Decisions, decideEvents, type Event, readDecisions } from './amendments.ts'
import { type Block, blocksOf } from './blocks.ts'
import { compareClocks, type Evidence } from './clock-evidence.ts'
import { type BlockClock, groupClocks } from './clock-groups.ts'
import { type Offset, settleOffsets } from './clock-offsets.ts'
import type { Observations, Source } from './observations.ts'
import type { CommonTimes } from './one-kind.ts'
import { Outcome } from './outcome.ts'
import { numberNames, readObservations } from './read.ts'
import { eventsOf, segmentsOf } from './segments.ts'
import { prepareTold } from './told.ts'
import { clearLedger, writeClocks, writeLedger } from './write.ts'

/** `all`: everything anew. Otherwise what changed since the last run, or these aircraft. */
export type MatchScope = 'all' | { readonly aircraft?: readonly string[] }

/**
 * Turns accepted observations into canonical records of `ledger`, each event once, with links to all who attest it.
 * @returns the aircraft whose records were computed anew.
 */
export async function match(warehouse: Warehouse, scope: MatchScope = {}): Promise<{ aircraft: string[] }> {
  return warehouse.transaction(async () => {
    void scope
    await prepareTold(warehouse)
    const { aircraft, sources } = await numberNames(warehouse)
    const decisions = await readDecisions(warehouse)
    await warehouse.run('CREATE OR REPLACE TEMP TABLE match_aircraft AS FROM match_aircraft_all')
    const o = await readObservations(warehouse)
    await clearLedger(warehouse)
    const clocks = clocksOf(o, sources)
    const offsets = settleOffsets(clocks, sources)
    const outcome = linkAll(o, clocks, offsets, sources, decisions)
    await writeClocks(warehouse, clocks, offsets)
    await writeLedger(warehouse, outcome)
    return { aircraft }
  })
}

/** Offsets of every block, from the events that sources share within each aircraft. */
export function clocksOf(o: Observations, sources: readonly Source[]): BlockClock[] {
  const clocks: BlockClock[] = []
  for (const [from, to] of aircraftRanges(o)) {
    const blocks = blocksOf(o, from, to)
    clocks.push(...groupClocks(blocks, evidenceOf(o, blocks), sources))
  }
  return clocks
}

function evidenceOf(o: Observations, blocks: readonly Block[]): Evidence[] {
  const evidence: Evidence[] = []
  const bySource = new Map<number, Block[]>()
  for (const block of blocks) {
    const list = bySource.get(block.source)
    if (list) list.push(block)
    else bySource.set(block.source, [block])
  }
  const lists = [...bySource.values()]
  for (let a = 0; a < lists.length; a++) {
    for (let b = a + 1; b < lists.length; b++) {
      let first = 0
      for (const one of lists[a]!) {
        while (first < lists[b]!.length && lists[b]![first]!.end < one.start - 86_400) first++
        for (let i = first; i < lists[b]!.length && lists[b]![i]!.start <= one.end + 86_400; i++) {
          const found = compareClocks(o, one, lists[b]![i]!)
          if (found) evidence.push(found)
        }
      }
    }
  }
  return evidence
}

/** Canonical events of all aircraft. */
export function linkAll(
  o: Observations,
  clocks: readonly BlockClock[],
  offsets: readonly Offset[],
  sources: readonly Source[],
  decisions: Decisions,
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
      times.half[index] = clock.block.step / 2
    }
  })
  const outcome = new Outcome(o, times, taken, sources, decisions)
  for (const [from, to] of aircraftRanges(o)) {
    for (const segment of segmentsOf(times, from, to)) {
      const start = times.time[segment[0]!]!
      eventsOf(o, segment, times, sources).forEach((profile, kind) => {
        const events: Event[] = profile.members.map((members, event) => ({
          members,
          summaries: profile.summaries[event]!,
          isAmended: false,
        }))
        outcome.add(kind, decideEvents(o, events, decisions), start)
      })
    }
  }
  return outcome
}

/** Index ranges `[from, to)` of each aircraft. */
function aircraftRanges(o: Observations): [number, number][] {
  const ranges: [number, number][] = []
  let from = 0
  for (let index = 1; index <= o.count; index++) {
    if (index < o.count && o.aircraft[index] === o.aircraft[from]) continue
    ranges.push([from, index])
    from = index
  }
  return o.count === 0 ? [] : ranges
}
