import { noDecisions } from '../../../src/matching/amendments.ts'
import { hearClocks, judgeClocks } from '../../../src/matching/clock-judgement.ts'
import { missesByBlock } from '../../../src/matching/clock-misses.ts'
import { settleOffsets } from '../../../src/matching/clock-offsets.ts'
import { linkAll } from '../../../src/matching/link.ts'
import { observationsOf, type Score, scoreOf, type Told } from '../season.ts'

export interface Link {
  readonly event: number
  readonly obsNo: number
  readonly isSummary: boolean
}

/** Lines matched without a warehouse: links, by event. */
export function linksOf(told: readonly Told[]): { links: Link[]; offsets: Map<number, number> } {
  const { o, sources } = observationsOf(told)
  const { clocks, neighbours } = judgeClocks(o, hearClocks(o, sources), sources)
  const settled = settleOffsets(clocks, sources, neighbours, missesByBlock(o, clocks, sources))
  const outcome = linkAll(o, clocks, settled, sources, noDecisions)
  const { event, obs_no, role_no, offset_ms } = outcome.link.values()
  const links = Array.from(event, (number: number, i: number) => ({
    event: number,
    obsNo: obs_no[i]!,
    isSummary: role_no[i] === 1,
  }))
  return { links, offsets: new Map(Array.from(obs_no, (number, i) => [number, offset_ms[i]! / 60_000])) }
}

export interface Reckoning {
  readonly drops: Score
  readonly loads: Score
  readonly flights: Score
  /** Share of aircraft-days on which there are as many drops as were written down by anyone. */
  readonly openings: number
  readonly wrong: string[]
}

/** Found against true. `wrong` names each aircraft-day whose drops are too many or too few. */
export function reckon(told: readonly Told[], dayOf: ReadonlyMap<number, number>): Reckoning {
  const { links } = linksOf(told)
  const kindOf = new Map(told.map((line) => [line.obsNo, line]))
  const byKind = (kind: Told['kind']): Map<number, number[]> => {
    const events = new Map<number, number[]>()
    for (const link of links) {
      if (kindOf.get(link.obsNo)!.kind !== kind) continue
      events.set(link.event, [...(events.get(link.event) ?? []), link.obsNo])
    }
    return events
  }
  const drops = byKind('drop')
  const balance = new Map<string, number>()
  const count = (aircraft: string, event: number, by: number): void => {
    const key = `${aircraft} day ${dayOf.get(event)}`
    balance.set(key, (balance.get(key) ?? 0) + by)
  }
  for (const obs of drops.values()) {
    const line = kindOf.get(obs[0]!)!
    count(line.aircraft, line.truth[0]!, 1)
  }
  const attested = new Map<number, string>()
  for (const line of told) {
    if (line.kind !== 'drop') continue
    const alone =
      line.truth.length === 1 ||
      !line.truth.some((event) => told.some((t) => t !== line && t.truth.includes(event)))
    if (line.truth.length === 1) attested.set(line.truth[0]!, line.aircraft)
    else if (alone) attested.set(line.truth[0]!, line.aircraft)
  }
  for (const [event, aircraft] of attested) count(aircraft, event, -1)
  const wrong = [...balance].filter(([, apart]) => apart !== 0).map(([key, apart]) => `${key}: ${apart}`)
  return {
    drops: scoreOf(told, drops, 'drop'),
    loads: scoreOf(told, byKind('load'), 'load'),
    flights: scoreOf(told, byKind('flight'), 'flight'),
    openings: 1 - wrong.length / Math.max(1, balance.size),
    wrong,
  }
}
