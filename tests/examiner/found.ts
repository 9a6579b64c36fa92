import type { Answer } from './compare.ts'
import type { Drop } from './events.ts'
import { pairInOrder } from './in-order.ts'

/** How many of the true drops an answer has, each once, and how many of the fire drops have their fire. */
export function found(
  drops: readonly Drop[],
  rows: readonly Answer[],
): { f1: number; fires: number; drops: number } {
  let hit = 0
  let onFire = 0
  let rightFire = 0
  for (const aircraft of new Set(drops.map((drop) => drop.aircraft))) {
    const mine = drops.filter((drop) => drop.aircraft === aircraft).sort((a, b) => a.at - b.at)
    const theirs = rows
      .filter((row) => row.aircraft === aircraft)
      .map((row) => ({ at: Date.parse(String(row.dropped_at)) / 1000, fire: row.fire ?? null }))
      .sort((a, b) => a.at - b.at)
    const pairs = pairInOrder(
      mine.map((drop) => drop.at),
      theirs.map((row) => row.at),
      300,
    )
    hit += pairs.length
    for (const [i, j] of pairs) {
      if (mine[i]!.purpose !== 'fire') continue
      onFire++
      if (theirs[j]!.fire === mine[i]!.fire) rightFire++
    }
  }
  return { f1: (2 * hit) / (drops.length + rows.length), fires: rightFire / onFire, drops: drops.length }
}
