import type { BlockClock } from './clock-groups.ts'
import { isNearer, type Neighbours, type Tellers } from './clock-neighbours.ts'
import { fewPairs, withoutNoise } from './clock-noise.ts'
import { neighbourSeconds, type Word } from './clock-voices.ts'
import { clockRank, type Source } from './observations.ts'

/** What an offset can rest on. */
export const bases = ['tracker', 'majority', 'neighbours', 'pooled', 'controller', 'pair', 'none'] as const

export interface Offset {
  /** Seconds late against the common clock, as reported: 0 unless the evidence is clear. */
  readonly offset: number
  readonly basis: (typeof bases)[number]
}

const sameSeconds = 240
/** A few pairs lie within this of what the clock really reads. */
const fewPairsSeconds = 360

/** Does the block's offset stand by the day itself? */
export function standsAlone(basis: string): boolean {
  return basis === 'tracker' || basis === 'majority'
}

/**
 * The offset of every block. Where the day itself does not say, neighbours do; where days have too few shared events
 * each and nobody speaks for them, the days of a week decide together.
 * @param missed how many events of a block the flights speak against if its clock reads so many seconds late
 * @param standing offsets that are settled already, by block
 */
export function settleOffsets(
  clocks: readonly BlockClock[],
  sources: readonly Source[],
  neighbours: Neighbours,
  missed: (index: number, offset: number) => number,
  standing: ReadonlyMap<number, Offset> = new Map(),
): Offset[] {
  const offsets: Offset[] = clocks.map((clock, index) => {
    const settled = standing.get(index)
    if (settled) return settled
    if (clock.basis === 'pair' || clock.basis === 'alone') return { offset: 0, basis: 'none' }
    return { offset: minutesOf(clock, neighbours.common), basis: clock.basis }
  })
  settlePairs(clocks, sources, standing, offsets, neighbours)
  settleAlone(clocks, sources, standing, offsets, neighbours, missed)
  return offsets
}

/** Few events say which hour, and neighbours, if they say the same, which minute. */
function minutesOf({ block, offset, pairs, spread }: BlockClock, tellers: Tellers): number {
  const usual = pairs < fewPairs ? tellers.ownOffsetOf(block, 1) : Number.NaN
  return Math.abs(usual - offset) <= fewPairsSeconds ? usual : withoutNoise(offset, block.step, pairs, spread)
}

/** Groups that agree on nothing but their differences: neighbours say who is right, else the most trusted clock is. */
function settlePairs(
  clocks: readonly BlockClock[],
  sources: readonly Source[],
  standing: ReadonlyMap<number, Offset>,
  offsets: Offset[],
  neighbours: Neighbours,
): void {
  const groups = new Map<string, number[]>()
  clocks.forEach((clock, index) => {
    if (clock.basis !== 'pair') return
    const key = `${clock.block.aircraft}/${clock.group}`
    const list = groups.get(key)
    if (list) list.push(index)
    else groups.set(key, [index])
  })
  const witness = (index: number): string => sources[clocks[index]!.block.source]!.witness
  for (const group of groups.values()) {
    const first = [...group].sort(
      (a, b) =>
        clockRank(witness(a)) - clockRank(witness(b)) ||
        clocks[a]!.block.source - clocks[b]!.block.source ||
        a - b,
    )[0]!
    const votesOf = (tellers: Tellers): number[] =>
      group.flatMap((index) => {
        const offset = tellers.offsetOf(clocks[index]!.block)
        return Number.isNaN(offset) ? [] : [clocks[index]!.offset - offset]
      })
    // Of those who measure by a witness, only such as measure by a more trusted one than this group has know better.
    const votes =
      [neighbours.common, ...neighbours.relative.slice(0, clockRank(witness(first)))]
        .map(votesOf)
        .find((list) => list.length > 0) ?? []
    const isOne = votes.length > 0 && Math.max(...votes) - Math.min(...votes) <= 2 * sameSeconds
    const common = isOne ? votes[0]! : clocks[first]!.offset
    const basis = isOne ? 'neighbours' : witness(first) === 'controller' ? 'controller' : 'pair'
    for (const index of group) {
      if (standing.has(index)) continue
      offsets[index] = { offset: ofGroup(clocks[index]!, common), basis }
    }
  }
}

function ofGroup({ block, offset, pairs, spread }: BlockClock, common: number): number {
  return withoutNoise(offset - common, block.step, pairs, spread)
}

/** Blocks without sure evidence of their own: what neighbours say, unless their few events or the flights say otherwise. */
function settleAlone(
  clocks: readonly BlockClock[],
  sources: readonly Source[],
  standing: ReadonlyMap<number, Offset>,
  offsets: Offset[],
  neighbours: Neighbours,
  missed: (index: number, offset: number) => number,
): void {
  const weekOf = ({ block }: BlockClock): string => `${block.aircraft}/${sources[block.source]!.family}`
  const firstOf = new Map<number, number>()
  const siblings = new Map<string, number[]>()
  clocks.forEach((clock, index) => {
    if (!firstOf.has(clock.block.aircraft)) firstOf.set(clock.block.aircraft, index)
    if (!clock.isOpen) return
    const key = weekOf(clock)
    const list = siblings.get(key)
    if (list) list.push(index)
    else siblings.set(key, [index])
  })
  const settled = offsets.map((offset, index) => (standsAlone(clocks[index]!.basis) ? offset.offset : 0))
  const impliedBy = (index: number): number[] => {
    const clock = clocks[index]!
    const rank = clockRank(sources[clock.block.source]!.witness)
    return clock.hints.flatMap((hint) => {
      const other = firstOf.get(clock.block.aircraft)! + hint.other
      if (clockRank(sources[clocks[other]!.block.source]!.witness) >= rank || hint.score <= 0) return []
      return [hint.offset + settled[other]!]
    })
  }
  clocks.forEach((clock, index) => {
    if (clock.basis !== 'alone' || standing.has(index)) return
    const offset = borrowed(clock, neighbours)
    if (!Number.isNaN(offset)) {
      const isFlown = offset === 0 || missed(index, offset) <= missed(index, 0)
      if (isFlown && favours(clock, offset, (other) => settled[firstOf.get(clock.block.aircraft)! + other]!))
        offsets[index] = { offset, basis: 'neighbours' }
      return
    }
    if (!clock.isOpen) return
    const week = siblings
      .get(weekOf(clock))!
      .filter((other) => Math.abs(clocks[other]!.block.start - clock.block.start) <= neighbourSeconds)
    const pooled = pooledOffset(impliedBy(index), week.map(impliedBy))
    if (pooled !== null) offsets[index] = { offset: pooled, basis: 'pooled' }
  })
}

/** What the nearest days around say, by whichever clock they know, or else other aircraft of the same days; NaN for nothing. */
function borrowed({ block }: BlockClock, { common, relative }: Neighbours): number {
  const all = [common, ...relative]
  let best: Word | null = null
  for (const tellers of all) {
    const word = tellers.ownWordOf(block, 1)
    if (word && (!best || isNearer(word, best))) best = word
  }
  if (best) return best.offset
  return (
    all.map((tellers) => tellers.fleetOffsetOf(block)).find((offset) => !Number.isNaN(offset)) ?? Number.NaN
  )
}

/** Do the block's few shared events fit the offset at least as well as none? */
function favours(clock: BlockClock, offset: number, offsetOf: (other: number) => number): boolean {
  let favour = 0
  for (const hint of clock.hints) {
    const other = offsetOf(hint.other)
    if (Math.abs(hint.offset - (offset - other)) <= sameSeconds) favour += hint.score
    else if (Math.abs(hint.offset + other) <= sameSeconds) favour -= hint.score
  }
  return favour >= 0
}

/** The offset, in whole half hours, that at least three days of a week allow, most of them, and far more than any other. */
function pooledOffset(own: readonly number[], week: readonly (readonly number[])[]): number | null {
  const days = week.filter((implied) => implied.length > 0)
  const support = (offset: number): number =>
    days.filter((implied) => implied.some((one) => Math.abs(one - offset) <= sameSeconds)).length
  const candidates = [...new Set(own.map((one) => 1800 * Math.round(one / 1800)))]
    .map((offset) => ({ offset, days: support(offset) }))
    .sort((a, b) => b.days - a.days || Math.abs(a.offset) - Math.abs(b.offset) || a.offset - b.offset)
  const best = candidates[0]
  if (!best || best.offset === 0 || best.days < 3 || best.days < 0.6 * days.length) return null
  const rival = Math.max(support(0), candidates[1]?.days ?? 0)
  return best.days >= 2 * rival ? best.offset : null
}
