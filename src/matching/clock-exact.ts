import type { Block } from './blocks.ts'
import type { Reading } from './clock-evidence.ts'

/** Sure evidence of two blocks, by place. */
export interface Edge {
  readonly one: number
  readonly other: number
  readonly reading: Reading
  readonly isStrong: boolean
}

/** What a chain of evidence tells of a clock against another. */
interface Chain {
  /** Seconds late. */
  readonly offset: number
  readonly variance: number
}

/** Clocks to the minute or finer, s. */
export const exactStep = 60
/** What two hands that read one clock may differ by in when they say that an event was, s. */
const leastError = 20
/** Clocks that read no more off read the common time, s. */
const zeroSeconds = 60
/** What is coarsely known may be off by so many of its standard errors. */
const mostErrors = 2
/** Another chain of evidence is preferred to that by which the group hangs together where it is so much better. */
const muchBetter = 4

/**
 * What is to be added, seconds, to the offsets of clocks of one group. Exact clocks take the chain of evidence that tells
 * most of them; those that are known exactly against each other, and against the common clock only through times that
 * somebody rounded, come together as little nearer to it as makes most of them read the common time, and by no more than
 * the rounding may hide.
 * @param members blocks of the group, by place @param joining the evidence by which the group hangs together
 * @param offset of every block against the common clock, s @param anchor the member that tells the common time
 * @param settled the offset at which a member stands already, s; NaN for none
 */
export function exactShifts(
  members: readonly number[],
  edges: readonly Edge[],
  joining: ReadonlySet<Edge>,
  blocks: readonly Block[],
  offset: (index: number) => number,
  anchor: number,
  settled: (index: number) => number,
): ReadonlyMap<number, number> {
  const isExact = (index: number): boolean => blocks[index]!.step <= exactStep
  const best = chainsFrom(anchor, offset(anchor), edges, blocks)
  const usual = chainsFrom(
    anchor,
    offset(anchor),
    edges.filter((edge) => joining.has(edge)),
    blocks,
  )
  const shift = new Map<number, number>()
  for (const index of members) {
    const [chain, other] = [best.get(index)!, usual.get(index)!]
    const isBetter = isExact(index) && muchBetter * chain.variance < other.variance
    shift.set(index, isBetter ? chain.offset - other.offset : 0)
  }
  for (const own of clustersOf(members.filter(isExact), edges)) {
    if (own.includes(anchor)) continue
    const at = (index: number): number => offset(index) + shift.get(index)!
    const firm = own.find((index) => !Number.isNaN(settled(index)))
    const error = Math.sqrt(Math.min(...own.map((index) => best.get(index)!.variance)))
    const by = firm === undefined ? leastShift(own.map(at), mostErrors * error) : settled(firm) - at(firm)
    for (const index of own) shift.set(index, shift.get(index)! + by)
  }
  return shift
}

/** Blocks that evidence joins with no other between. */
function clustersOf(blocks: readonly number[], edges: readonly Edge[]): ReadonlySet<readonly number[]> {
  const cluster = new Map(blocks.map((index) => [index, [index]]))
  for (const { one, other } of edges) {
    const [a, b] = [cluster.get(one), cluster.get(other)]
    if (!a || !b || a === b) continue
    a.push(...b)
    for (const index of b) cluster.set(index, a)
  }
  return new Set(cluster.values())
}

/** What is left of an offset beside whole half hours, s. */
export function offFromHalfHour(offset: number): number {
  return offset - 1800 * Math.round(offset / 1800)
}

/** The least shift, within what is allowed, by which most offsets come to whole half hours. */
function leastShift(offsets: readonly number[], allowed: number): number {
  const rests = offsets.map(offFromHalfHour)
  const zeros = (shift: number): number =>
    rests.filter((rest) => Math.abs(rest + shift) <= zeroSeconds).length
  let best = 0
  for (const rest of rests) {
    if (Math.abs(rest) > allowed) continue
    const more = zeros(-rest) - zeros(best)
    if (more > 0 || (more === 0 && Math.abs(rest) < Math.abs(best))) best = -rest
  }
  return best
}

/** The chain of evidence from the anchor to each block that varies least. */
function chainsFrom(
  anchor: number,
  offset: number,
  edges: readonly Edge[],
  blocks: readonly Block[],
): ReadonlyMap<number, Chain> {
  const chains = new Map<number, Chain>([[anchor, { offset, variance: 0 }]])
  for (let again = true; again; ) {
    again = false
    for (const { one, other, reading } of edges) {
      const own = varianceOf(reading, (blocks[one]!.step + blocks[other]!.step) / 2)
      again = reach(chains, one, other, -reading.offset, own) || again
      again = reach(chains, other, one, reading.offset, own) || again
    }
  }
  return chains
}

function reach(chains: Map<number, Chain>, from: number, to: number, late: number, own: number): boolean {
  const known = chains.get(from)
  if (!known) return false
  const variance = known.variance + own
  const other = chains.get(to)
  if (other && other.variance <= variance) return false
  chains.set(to, { offset: known.offset + late, variance })
  return true
}

/**
 * Variance of the median of pairs: by how they scatter, and at least that of times even over what is rounded away, whose
 * median has the variance half²/(n + 2) (David and Nagaraja 2003, Order Statistics, 3rd ed., 2.2).
 * @param half what rounding may put a pair off by, s
 */
function varianceOf({ pairs, spread }: Reading, half: number): number {
  return Math.max((1.25 * 1.4826 * spread) ** 2 / pairs, Math.max(leastError, half) ** 2 / (pairs + 2))
}
