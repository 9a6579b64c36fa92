import type { Block } from './blocks.ts'
import type { Evidence } from './clock-evidence.ts'
import { type Edge, exactShifts, exactStep, offFromHalfHour } from './clock-exact.ts'
import { againstWitness } from './clock-neighbours.ts'
import { withoutNoise } from './clock-noise.ts'
import type { OwnWord } from './clock-voices.ts'
import { clockRank, type Source } from './observations.ts'

/** Clocks of one aircraft that differ by no more tell one hour. */
export const sameHourSeconds = 15 * 60
/** Nothing is to be gained where clocks are this near to whole half hours. */
const thereSeconds = 20

/** What is known of one block's clock from its own aircraft and day. */
export interface BlockClock {
  readonly block: Block
  /**
   * `tracker`, `majority`: the offset stands. `neighbours`: as on the days around. `pair`: only relative to its group.
   * `alone`: nothing was shared.
   */
  readonly basis: 'tracker' | 'majority' | 'neighbours' | 'pair' | 'alone'
  /** Seconds late against the common clock; for `pair`, against the first member of the group. */
  readonly offset: number
  /** Blocks whose clocks hang together, by number; every block is in one group. */
  readonly group: number
  readonly pairs: number
  readonly spread: number
  /** Readings that did not suffice, against which block; none that no events speak for. */
  readonly hints: readonly Hint[]
  /** No sure evidence, and what there is fits another offset better than none: its week decides. */
  readonly isOpen: boolean
  /** What its own day alone says; null where that is nothing. */
  readonly own: OwnWord | null
  readonly isStrong: boolean
}

export interface Hint {
  readonly other: number
  readonly offset: number
  readonly score: number
}

/**
 * `anchors`: what the blocks' own days say; the strong ones stay as they are and hold their groups.
 * Offsets within one aircraft: blocks joined by sure evidence form groups; the common clock of a group is the
 * tracker's, else that of the largest set of agreeing witnesses, else still open.
 */
export function groupClocks(
  blocks: readonly Block[],
  evidence: readonly Evidence[],
  sources: readonly Source[],
  anchors: readonly BlockClock[] = [],
): BlockClock[] {
  const number = new Map(blocks.map((block, index) => [block, index]))
  const edges: Edge[] = evidence
    .filter((item) => item.isSure)
    .map((item) => ({
      one: number.get(item.one)!,
      other: number.get(item.other)!,
      reading: item.readings[0]!,
      isStrong: item.isStrong,
    }))
    .sort(
      (a, b) =>
        b.reading.pairs - a.reading.pairs ||
        b.reading.score - a.reading.score ||
        a.one - b.one ||
        a.other - b.other,
    )

  const group = blocks.map((_, index) => index)
  const position = new Float64Array(blocks.length)
  const members = blocks.map((_, index) => [index])
  // One clock cannot read two times: evidence that would have it so is of other events.
  const isContradiction = (set: readonly number[], others: readonly number[], shift: number): boolean =>
    set.some((index) =>
      others.some(
        (other) =>
          blocks[index]!.source === blocks[other]!.source &&
          Math.abs(position[index]! - position[other]! - shift) > sameHourSeconds,
      ),
    )
  const joining = new Set<Edge>()
  edges.forEach((edge) => {
    const { one, other, reading } = edge
    const [a, b] = [group[one]!, group[other]!]
    if (a === b) return
    const shift = position[one]! - reading.offset - position[other]!
    if (isContradiction(members[a]!, members[b]!, shift)) return
    joining.add(edge)
    for (const index of members[b]!) {
      position[index] = position[index]! + shift
      group[index] = a
    }
    members[a]!.push(...members[b]!)
    members[b] = []
  })

  const pairs = new Float64Array(blocks.length)
  const spread = new Float64Array(blocks.length)
  const isStrong = blocks.map(() => false)
  const takeEdge = (index: number, { reading, isStrong: isStrongEdge }: Edge): void => {
    isStrong[index] ||= isStrongEdge
    if (reading.pairs <= pairs[index]!) return
    pairs[index] = reading.pairs
    spread[index] = reading.spread
  }
  edges.forEach((edge) => {
    takeEdge(edge.one, edge)
    takeEdge(edge.other, edge)
  })
  const hints: Hint[][] = blocks.map(() => [])
  const fitsZero = blocks.map(() => false)
  for (const item of evidence) {
    if (item.isSure) continue
    const [one, other] = [number.get(item.one)!, number.get(item.other)!]
    const first = item.readings[0]
    if (first && first.pairs > 0 && Math.abs(first.offset) <= 720) {
      fitsZero[one] = true
      fitsZero[other] = true
    }
    for (const reading of item.readings) {
      if (reading.score <= 0) continue
      hints[one]!.push({ other, offset: reading.offset, score: reading.score })
      hints[other]!.push({ other: one, offset: -reading.offset, score: reading.score })
    }
  }

  const commons = commonsOf(members, position, blocks, edges, joining, sources, anchors, group)
  return blocks.map((block, index) => {
    const anchor = anchors[index]
    if (anchor?.isStrong) return { ...anchor, group: group[index]!, hints: hints[index]! }
    const set = members[group[index]!]!
    const common = commons[group[index]!]!
    const isLone = set.length === 1 && sources[block.source]!.witness !== 'tracker'
    const basis = isLone ? 'alone' : common.basis
    const offset = isLone ? 0 : position[index]! - common.position
    const standsAlone = basis === 'tracker' || basis === 'majority'
    const word = (): OwnWord | null =>
      isLone
        ? null
        : {
            offset: withoutNoise(offset, block.step, pairs[index]!, spread[index]!),
            isStrong: isStrong[index]!,
            against: standsAlone
              ? 0
              : againstWitness(clockRank(sources[blocks[common.anchor]!.source]!.witness)),
          }
    return {
      block,
      basis,
      offset,
      own: anchor ? anchor.own : word(),
      isStrong: standsAlone && isStrong[index]!,
      group: group[index]!,
      pairs: pairs[index]!,
      spread: spread[index]!,
      hints: hints[index]!,
      isOpen: isLone && !fitsZero[index]! && hints[index]!.some((hint) => hint.score > 0),
    }
  })
}

/** The common clock of every group; positions come to it where what is known exactly is no more off than rounding hides. */
function commonsOf(
  members: readonly (readonly number[])[],
  position: Float64Array,
  blocks: readonly Block[],
  edges: readonly Edge[],
  joining: ReadonlySet<Edge>,
  sources: readonly Source[],
  anchors: readonly BlockClock[],
  group: readonly number[],
): Common[] {
  const within: Edge[][] = members.map(() => [])
  for (const edge of edges) if (group[edge.one] === group[edge.other]) within[group[edge.one]!]!.push(edge)
  return members.map((set, number) => {
    if (set.length === 0) return noCommon
    const common = commonPosition(set, position, blocks, sources, anchors)
    if (common.basis === 'pair' || set.length < 3) return common
    const offset = (index: number): number => position[index]! - common.position
    const isExactlyThere = (index: number): boolean =>
      blocks[index]!.step > exactStep || Math.abs(offFromHalfHour(offset(index))) <= thereSeconds
    if (set.every(isExactlyThere)) return common
    const settled = (index: number): number => (anchors[index]?.isStrong ? anchors[index].offset : Number.NaN)
    const shifts = exactShifts(set, within[number]!, joining, blocks, offset, common.anchor, settled)
    for (const [index, shift] of shifts) position[index] = position[index]! + shift
    return common
  })
}

const noCommon: Common = { basis: 'pair', position: Number.NaN, anchor: -1 }

interface Common {
  readonly basis: 'tracker' | 'majority' | 'pair'
  readonly position: number
  /** The block that tells it. */
  readonly anchor: number
}

function commonPosition(
  set: readonly number[],
  position: Float64Array,
  blocks: readonly Block[],
  sources: readonly Source[],
  anchors: readonly BlockClock[],
): Common {
  const firm = set.find((index) => anchors[index]?.isStrong)
  if (firm !== undefined) {
    const { basis, offset } = anchors[firm]!
    return {
      basis: basis === 'tracker' ? 'tracker' : 'majority',
      position: position[firm]! - offset,
      anchor: firm,
    }
  }
  const witnessOf = (index: number): string => sources[blocks[index]!.source]!.witness
  const trusted = [...set].sort(
    (a, b) =>
      clockRank(witnessOf(a)) - clockRank(witnessOf(b)) || blocks[a]!.source - blocks[b]!.source || a - b,
  )
  const first = trusted[0]!
  if (witnessOf(first) === 'tracker') return { basis: 'tracker', position: position[first]!, anchor: first }
  const camps = trusted.map((anchor) => {
    const near = trusted.filter(
      (index) =>
        Math.abs(position[index]! - position[anchor]!) <=
        150 + (blocks[index]!.step + blocks[anchor]!.step) / 4,
    )
    return { anchor, witnesses: new Set(near.map(witnessOf)).size, near }
  })
  camps.sort((a, b) => b.witnesses - a.witnesses || b.near.length - a.near.length)
  const best = camps[0]!
  const rival = camps.find((camp) => !camp.near.includes(best.anchor))
  if (best.witnesses >= 2 && (!rival || rival.witnesses < best.witnesses))
    return { basis: 'majority', position: position[best.anchor]!, anchor: best.anchor }
  return { basis: 'pair', position: position[first]!, anchor: first }
}
