import type { BlockClock } from './clock-groups.ts'
import type { Source } from './observations.ts'

const hour = 3600
const sameSeconds = 6 * 60
const zeroSeconds = 12 * 60
const leastWitnesses = 2

/**
 * Whole hours, s, by which a group reads late as two other witnesses tell it, each by an event that it shares with the
 * group: one such pair is no evidence, two of different hands hardly come about by chance. None where a pair fits as the clocks are.
 */
export function hoursToldBeside(
  clocks: readonly BlockClock[],
  members: readonly number[],
  sources: readonly Source[],
): ReadonlySet<number> {
  const witnessOf = (index: number): string => sources[clocks[index]!.block.source]!.witness
  const tellers = new Map<number, Set<string>>()
  for (const index of members) {
    for (const { other, offset } of clocks[index]!.hints) {
      if (members.includes(other) || witnessOf(other) === witnessOf(index)) continue
      const late = offset - clocks[index]!.offset + clocks[other]!.offset
      if (Math.abs(late) <= zeroSeconds) return new Set()
      const whole = hour * Math.round(late / hour)
      if (Math.abs(late - whole) > sameSeconds) continue
      const known = tellers.get(whole)
      if (known) known.add(witnessOf(other))
      else tellers.set(whole, new Set([witnessOf(other)]))
    }
  }
  return new Set([...tellers].filter(([, names]) => names.size >= leastWitnesses).map(([whole]) => whole))
}
