import type { Block } from './blocks.ts'
import type { Reading } from './clock-evidence.ts'
import { DROP, FLIGHT, LOAD, type Observations } from './observations.ts'

const marginSeconds = 3 * 60
const longestStint = 5 * 3600
const nearSeconds = 20 * 60
const hour = 3600

/** Stretches of one aircraft's work by other hands: flights, or from one load to the next. */
interface Stints {
  readonly start: number[]
  readonly end: number[]
}

/**
 * Would this difference of two clocks leave an aircraft's work undone? A witness that fell silent at noon, and another
 * that began then, tell of different drops; laid over each other they leave half of the day's flights, or loads, without
 * any.
 * @param blocks all of the aircraft
 */
export function isFarFetched(
  o: Observations,
  blocks: readonly Block[],
  one: Block,
  other: Block,
  reading: Reading,
): boolean {
  const offset = reading.offset
  if (Math.abs(offset) <= nearSeconds) return false
  if (isLoneDrop(one, other) && isOutAgain(blocks, one, other)) return true
  const stints = stintsBeside(o, blocks, one, other)
  if (stints === null) return false
  const told = served(o, stints, [one, 0], [other, 0])
  const laid = Math.max(
    served(o, stints, [one, -offset], [other, 0]),
    served(o, stints, [one, 0], [other, offset]),
  )
  return told - laid >= 2 && told - laid >= 0.3 * told
}

/** One drop in each record, and no flight by which to tell them apart. */
function isLoneDrop(one: Block, other: Block): boolean {
  return [one, other].every(({ byKind }) => byKind[DROP]!.length === 1 && byKind[FLIGHT]!.length === 0)
}

/** Does anybody else tell of more fills or flights than one, then? Their clock, too, may be an hour off. */
function isOutAgain(blocks: readonly Block[], one: Block, other: Block): boolean {
  const from = Math.min(one.start, other.start) - hour
  const to = Math.max(one.end, other.end) + hour
  return blocks.some(
    ({ source, start, end, byKind }) =>
      source !== one.source &&
      source !== other.source &&
      start <= to &&
      end >= from &&
      (byKind[LOAD]!.length > 1 || byKind[FLIGHT]!.length > 1),
  )
}

/** The flights of the source with most of them, else its loads; of the time of both blocks, and of neither block. */
function stintsBeside(o: Observations, blocks: readonly Block[], one: Block, other: Block): Stints | null {
  const from = Math.min(one.start, other.start) - marginSeconds
  const to = Math.max(one.end, other.end) + marginSeconds
  for (const kind of [FLIGHT, LOAD]) {
    if (one.byKind[kind]!.length > 0 || other.byKind[kind]!.length > 0) continue
    const bySource = new Map<number, number[]>()
    for (const block of blocks) {
      if (block.end < from || block.start > to || block.byKind[kind]!.length === 0) continue
      bySource.set(block.source, [...(bySource.get(block.source) ?? []), ...block.byKind[kind]!])
    }
    const most = [...bySource].sort(([a, x], [b, y]) => y.length - x.length || a - b)[0]
    if (!most) continue
    const list = most[1].sort((a, b) => o.start[a]! - o.start[b]! || a - b)
    return {
      start: list.map((index) => o.start[index]!),
      end: list.map((index, place) =>
        kind === FLIGHT
          ? o.end[index]!
          : Math.min(
              o.start[index]! + longestStint,
              o.start[list[place + 1] ?? -1] ?? Number.POSITIVE_INFINITY,
            ),
      ),
    }
  }
  return null
}

/** Of how many stints the two blocks tell, each moved by so many seconds. */
function served(o: Observations, stints: Stints, ...moved: readonly (readonly [Block, number])[]): number {
  const told = new Set<number>()
  for (const [block, shift] of moved) {
    for (const list of block.byKind) {
      for (const index of list) {
        const at = (o.start[index]! + o.end[index]!) / 2 + shift
        const stint = stints.start.findIndex(
          (start, place) => start - marginSeconds <= at && at <= stints.end[place]! + marginSeconds,
        )
        if (stint >= 0) told.add(stint)
      }
    }
  }
  return told.size
}
