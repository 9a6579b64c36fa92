import { type Block, blocksOf } from './blocks.ts'
import { compareClocks, type Evidence, leanOn, without } from './clock-evidence.ts'
import { type BlockClock, groupClocks } from './clock-groups.ts'
import { holdClocks } from './clock-holds.ts'
import { besideKin } from './clock-kin.ts'
import { isNearer, leastDays, Neighbours, type Tellers } from './clock-neighbours.ts'
import type { Speaker, Word } from './clock-voices.ts'
import { aircraftRanges, type Observations, type Source } from './observations.ts'
import { isFarFetched } from './stints.ts'

/** The blocks of one aircraft, and what each two tell of their clocks. */
export interface Heard {
  readonly blocks: readonly Block[]
  readonly evidence: readonly Evidence[]
}

/** Evidence of every two sources of each aircraft, from the events that they share. */
export function hearClocks(o: Observations, sources: readonly Source[]): Heard[] {
  return aircraftRanges(o).map(([from, to]) => {
    const blocks = blocksOf(o, from, to)
    return { blocks, evidence: evidenceOf(o, blocks, sources) }
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
  return days
    .flat()
    .flatMap(({ block: { aircraft, source, start }, own }, index) =>
      own === null || isStanding(index) ? [] : [{ aircraft, source, start, ...own }],
    )
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
    const usual = expectedOf(neighbours.common, blocks, anchors)
    // A tracker of which nobody says otherwise reads the common time.
    const common = usual.map(
      (word, i) => word ?? (sources[blocks[i]!.source]!.witness === 'tracker' ? inTime : null),
    )
    const number = new Map(blocks.map((block, i) => [block, i]))
    const relative = neighbours.relative
      .filter((tellers) => !tellers.isSilent)
      .map((tellers) => expectedOf(tellers, blocks, anchors))
    const known = [common, ...relative]
    let isChanged = false
    const again = evidence.map((item) => {
      if (item.isStrong) return item
      const [one, other] = [number.get(item.one)!, number.get(item.other)!]
      const difference = differenceOf(known, one, other)
      if (difference === null) return item
      const leant = leanOn(o, item, difference)
      isChanged = true
      return leant
    })
    const grouped = isChanged ? groupClocks(blocks, again, sources, anchors) : anchors
    return holdClocks(
      o,
      grouped,
      sources,
      usual.map((word) => word?.offset ?? Number.NaN),
    )
  })
}

/**
 * Both at once, for observations that are all at hand: first by its own day, then in the light of the days around.
 * @param isStanding blocks that are on record already; @param known what is on record of blocks that are not at hand @param familyOf of the sources of both
 */
export function judgeClocks(
  o: Observations,
  heard: readonly Heard[],
  sources: readonly Source[],
  isStanding: (index: number) => boolean = () => false,
  known: readonly Speaker[] = [],
  familyOf: readonly number[] = sources.map((source) => source.family),
): { clocks: BlockClock[]; neighbours: Neighbours } {
  const days = judgeDays(o, heard, sources)
  const neighbours = new Neighbours([...known, ...speakersOf(days, isStanding)], familyOf)
  return { clocks: judgeBeside(o, heard, days, sources, neighbours), neighbours }
}

const inTime: Word = { offset: 0, isStrong: false, apart: Number.POSITIVE_INFINITY }

/** The offset that each block should have by the days around, or by many events of its own; null where nobody knows. */
function expectedOf(
  tellers: Tellers,
  blocks: readonly Block[],
  anchors: readonly BlockClock[],
): readonly (Word | null)[] {
  return blocks.map((block, i) => {
    const { own, isStrong, offset } = anchors[i]!
    if (tellers.against === 0 && isStrong) return { offset, isStrong, apart: 0 }
    if (tellers.against > 0 && own?.isStrong && own.against === tellers.against)
      return { offset: own.offset, isStrong: true, apart: 0 }
    return tellers.ownWordOf(block, leastDays)
  })
}

/**
 * By how many seconds one block's clock should read later than the other's; null where nothing is known. Only what is late
 * against one and the same clock can be compared; of several such the nearest is heard.
 * @param known by the clocks that are measured by, what is known of every block
 */
function differenceOf(
  known: readonly (readonly (Word | null)[])[],
  one: number,
  other: number,
): number | null {
  let best: (Omit<Word, 'offset'> & { difference: number }) | null = null
  for (const words of known) {
    const [a, b] = [words[one], words[other]]
    if (!a || !b) continue
    const both = {
      difference: a.offset - b.offset,
      isStrong: a.isStrong && b.isStrong,
      apart: Math.max(a.apart, b.apart),
    }
    if (!best || isNearer(both, best)) best = both
  }
  return best?.difference ?? null
}

function evidenceOf(o: Observations, blocks: readonly Block[], sources: readonly Source[]): Evidence[] {
  const isKin = (one: Block, other: Block): boolean =>
    sources[one.source]!.family === sources[other.source]!.family
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
      // Tickets of two bases are of different fills.
      if (isKin(lists[a]![0]!, lists[b]![0]!)) continue
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
  const families = new Set(lists.map(([first]) => sources[first!.source]!.family))
  return families.size < lists.length ? besideKin(evidence, isKin) : evidence
}
