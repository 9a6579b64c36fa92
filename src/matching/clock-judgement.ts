import { type Block, blocksOf } from './blocks.ts'
import { compareClocks, type Evidence, leanOn, without } from './clock-evidence.ts'
import { type BlockClock, groupClocks } from './clock-groups.ts'
import { holdClocks } from './clock-holds.ts'
import { leastDays, Neighbours, type Speaker } from './clock-neighbours.ts'
import { aircraftRanges, type Observations, type Source } from './observations.ts'
import { isFarFetched } from './stints.ts'

/** The blocks of one aircraft, and what each two tell of their clocks. */
export interface Heard {
  readonly blocks: readonly Block[]
  readonly evidence: readonly Evidence[]
}

/** Evidence of every two sources of each aircraft, from the events that they share. */
export function hearClocks(o: Observations): Heard[] {
  return aircraftRanges(o).map(([from, to]) => {
    const blocks = blocksOf(o, from, to)
    return { blocks, evidence: evidenceOf(o, blocks) }
  })
}

/** What is known of every block's clock by its own day, by aircraft. */
export function judgeDays(
  o: Observations,
  heard: readonly Heard[],
  sources: readonly Source[],
): BlockClock[][] {
  return heard.map(({ blocks, evidence }) => holdClocks(o, groupClocks(blocks, evidence, sources), sources))
}

/** Those of them that may speak for their neighbours. @param isStanding blocks that are on record already */
export function speakersOf(
  days: readonly (readonly BlockClock[])[],
  isStanding: (index: number) => boolean = () => false,
): Speaker[] {
  return days.flat().flatMap(({ block, own, isStrong }, index) => {
    if (own === null || isStanding(index)) return []
    return [{ aircraft: block.aircraft, source: block.source, start: block.start, offset: own, isStrong }]
  })
}

/**
 * What is known of every block's clock where, for days with few shared events, the days around are heard too. Blocks in
 * the order of `heard`.
 * @param days what their own days say
 */
export function judgeBeside(
  o: Observations,
  heard: readonly Heard[],
  days: readonly (readonly BlockClock[])[],
  sources: readonly Source[],
  neighbours: Neighbours,
): BlockClock[] {
  return heard.flatMap(({ blocks, evidence }, place) => {
    const anchors = days[place]!
    const usual = blocks.map((block, i) => expectedOf(block, anchors[i]!, neighbours))
    // A tracker of which nobody says otherwise reads the common time.
    const expected = new Map(
      blocks.map((block, i) => [
        block,
        Number.isNaN(usual[i]!) && sources[block.source]!.witness === 'tracker' ? 0 : usual[i]!,
      ]),
    )
    let isChanged = false
    const again = evidence.map((item) => {
      if (item.isStrong) return item
      const difference = expected.get(item.one)! - expected.get(item.other)!
      if (Number.isNaN(difference)) return item
      const leant = leanOn(o, item, difference)
      isChanged = true
      return leant
    })
    const grouped = isChanged ? groupClocks(blocks, again, sources, anchors) : anchors
    return holdClocks(o, grouped, sources, usual)
  })
}

/**
 * Both at once, for observations that are all at hand: first by its own day, then in the light of the days around.
 * @param isStanding blocks that are on record already; @param known what is on record of blocks that are not at hand
 */
export function judgeClocks(
  o: Observations,
  heard: readonly Heard[],
  sources: readonly Source[],
  isStanding: (index: number) => boolean = () => false,
  known: readonly Speaker[] = [],
): { clocks: BlockClock[]; neighbours: Neighbours } {
  const days = judgeDays(o, heard, sources)
  const neighbours = new Neighbours([...known, ...speakersOf(days, isStanding)])
  return { clocks: judgeBeside(o, heard, days, sources, neighbours), neighbours }
}

/** The offset that a block should have by the days around, or by many events of its own; NaN where nobody knows. */
function expectedOf(block: Block, clock: BlockClock, neighbours: Neighbours): number {
  if (clock.isStrong) return clock.offset
  return neighbours.ownOffsetOf(block, leastDays)
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
          if (found)
            evidence.push(without(found, (reading) => isFarFetched(o, blocks, one, found.other, reading)))
        }
      }
    }
  }
  return evidence
}
