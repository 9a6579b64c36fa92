import type { Observations } from './observations.ts'
import { roundingStep } from './rounding.ts'

export const idleGapSeconds = 5 * 3600

/** A stretch of one source's record of one aircraft without an idle gap of 5 h: the unit in which a clock is judged. */
export interface Block {
  readonly aircraft: number
  readonly source: number
  /** Observations `from` to `to - 1`. */
  readonly from: number
  readonly to: number
  /** Raw times, seconds. */
  readonly start: number
  readonly end: number
  /** Rounding step of its times, seconds. */
  readonly step: number
  /** The same by kind: who notes drops to five minutes may note flights to the minute. */
  readonly steps: readonly number[]
  /** Its observations by kind, in time order, without those whose time a person set. */
  readonly byKind: readonly (readonly number[])[]
}

/** Cuts the observations `from` to `to - 1` of one aircraft (sorted by source, then time) into blocks. */
export function blocksOf(o: Observations, from: number, to: number): Block[] {
  const blocks: Block[] = []
  let first = from
  let end = Number.NEGATIVE_INFINITY
  for (let index = from; index <= to; index++) {
    const isCut =
      index === to ||
      (index > first && (o.source[index] !== o.source[first] || o.start[index]! - end >= idleGapSeconds))
    if (isCut && index > first) {
      const timesOf: number[][] = [[], [], [], []]
      const byKind: number[][] = [[], [], [], []]
      for (let i = first; i < index; i++) {
        if (o.isTimeSet[i] === 1) continue
        const kind = o.kind[i]!
        byKind[kind]!.push(i)
        timesOf[kind]!.push(o.start[i]!)
        if (o.end[i] !== o.start[i]) timesOf[kind]!.push(o.end[i]!)
      }
      const kinds = timesOf.filter((times) => times.length > 0)
      const step = roundingStep(kinds.length === 1 ? kinds[0]! : kinds.flat())
      blocks.push({
        aircraft: o.aircraft[first]!,
        source: o.source[first]!,
        from: first,
        to: index,
        start: o.start[first]!,
        end,
        step,
        steps: kinds.length === 1 ? timesOf.map(() => step) : timesOf.map((times) => stepOfKind(times, step)),
        byKind,
      })
      first = index
      end = Number.NEGATIVE_INFINITY
    }
    if (index < to) end = Math.max(end, o.end[index]!)
  }
  return blocks
}

/** Times of one kind are rounded as the whole record is where they are too few to tell otherwise. */
function stepOfKind(times: readonly number[], step: number): number {
  const own = roundingStep(times)
  return own === 60 && times.every((time) => time % step === 0) ? Math.max(step, own) : own
}
