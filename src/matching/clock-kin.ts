import type { Block } from './blocks.ts'
import { beside, type Evidence, type Reading, sameClockSeconds, without } from './clock-evidence.ts'
import { sameHourSeconds } from './clock-groups.ts'

/** An hour is out that fewer fills of all bases tell of. */
const leastOfKin = 3

/**
 * The evidence, where tickets of two bases are a day's, in the light of each other: an hour that both tell of counts for more, and
 * one that a few fills of one base tell of and none of the other's is out. Two fills soon stand an hour from two that were the
 * other base's.
 * @param isKin are two blocks of one family, as of `Source`?
 */
export function besideKin(
  evidence: readonly Evidence[],
  isKin: (one: Block, other: Block) => boolean,
): Evidence[] {
  const areNear = (one: Block, other: Block): boolean =>
    one.start <= other.end + 86_400 && other.start <= one.end + 86_400
  const byBlock = new Map<Block, Evidence[]>()
  for (const item of evidence)
    for (const block of [item.one, item.other]) {
      const list = byBlock.get(block)
      if (list) list.push(item)
      else byBlock.set(block, [item])
    }
  /** What the kin of a block tell of the same other block, as late as the block would read. */
  const besides = (block: Block, other: Block): (readonly Reading[])[] =>
    byBlock.get(other)!.flatMap((item) => {
      const isOne = item.other === other
      const kin = isOne ? item.one : item.other
      if (kin.source === block.source || !isKin(kin, block) || !areNear(kin, block)) return []
      return [
        isOne ? item.readings : item.readings.map((reading) => ({ ...reading, offset: -reading.offset })),
      ]
    })
  const isTold = ({ offset, pairs }: Reading, told: readonly (readonly Reading[])[], sign: number): boolean =>
    told.length === 0 ||
    Math.abs(offset) <= sameHourSeconds ||
    told
      .flat()
      .filter((reading) => Math.abs(reading.offset - sign * offset) <= sameClockSeconds)
      .reduce((sum, reading) => sum + reading.pairs, pairs) >= leastOfKin
  return evidence.map((item) => {
    const [one, other] = [besides(item.one, item.other), besides(item.other, item.one)]
    if (one.length + other.length === 0) return item
    const told = without(item, (reading) => !isTold(reading, one, 1) || !isTold(reading, other, -1))
    return beside(told, [
      ...one.flat(),
      ...other.flat().map((reading) => ({ ...reading, offset: -reading.offset })),
    ])
  })
}
