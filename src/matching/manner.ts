import { DROP, LOAD } from './observations.ts'
import { sortedSpace } from './order.ts'

/**
 * How a source writes, against the events that it is compared with: what its scores are measured by. Unknown at first;
 * learned from the pairs of a first alignment, so that clocks which agree to seconds are held to seconds, and a crew
 * that writes what it asked for is not held to what a gauge saw.
 */
export interface Manner {
  /** How far its times lie from those of others beyond rounding and offset, minutes. */
  readonly slackMin: number
  /** How little a time far out is believed. */
  readonly tail: number
  /** How far its volumes lie from those of others beyond rounding, as a share. */
  readonly share: number
}

/** By kind: what is taken for granted of a source that is not known yet. */
export const strangers: readonly Manner[] = [1, 4, 4, 6].map((slackMin) => ({
  slackMin,
  tail: 1.5,
  share: 0.05,
}))

const leastPairs = 4
/** So many pairs' worth of what is usual: few pairs say little. */
const usualPairs = 3
/** Of a normal spread, three in four lie within this many standard deviations. */
const threeInFour = 1.15
const usualMin: readonly number[] = [0.25, 2]
const usualCoarseMin: readonly number[] = [0.75, 2]
const usualShare = 0.03
const leastShare = 0.01

/** What pairs of a source's lines and other sources' events tell of its manner. */
export interface Pairs {
  /** Minutes apart beyond rounding, after the clock's drift. */
  readonly apartMin: number[]
  /** How far apart the volumes lie beyond rounding, as a share of the larger. */
  readonly share: number[]
}

/** The manner of a source in one kind; a stranger's where pairs are few. `isCoarse`: a clock to the minute or coarser. */
export function mannerOf(kind: number, pairs: Pairs, isCoarse: boolean): Manner {
  const stranger = strangers[kind]!
  if ((kind !== DROP && kind !== LOAD) || pairs.apartMin.length < leastPairs) return stranger
  const share = spread(pairs.share, usualShare)
  return {
    slackMin: spread(pairs.apartMin, (isCoarse ? usualCoarseMin : usualMin)[kind]!),
    tail: 2,
    share: pairs.share.length < leastPairs ? stranger.share : Math.max(leastShare, share),
  }
}

function spread(apart: readonly number[], usual: number): number {
  const count = apart.length
  const seen = count === 0 ? 0 : sortedSpace(apart)[Math.floor(0.75 * (count - 1))]! / threeInFour
  return Math.sqrt((usualPairs * usual * usual + count * seen * seen) / (usualPairs + count))
}
