/** Pairs two lists in time order so that the sum of distances, with a price for each left alone, is least. */
export function pairInOrder(a: readonly number[], b: readonly number[], price = 600): [number, number][] {
  const cost = Array.from({ length: a.length + 1 }, () => new Float64Array(b.length + 1))
  for (let i = 0; i <= a.length; i++)
    for (let j = 0; j <= b.length; j++) {
      if (i + j === 0) continue
      const skip = Math.min(i > 0 ? cost[i - 1]![j]! : Infinity, j > 0 ? cost[i]![j - 1]! : Infinity) + price
      cost[i]![j] =
        i > 0 && j > 0 ? Math.min(skip, cost[i - 1]![j - 1]! + Math.abs(a[i - 1]! - b[j - 1]!)) : skip
    }
  const out: [number, number][] = []
  for (let i = a.length, j = b.length; i > 0 && j > 0; ) {
    if (cost[i]![j] === cost[i - 1]![j - 1]! + Math.abs(a[i - 1]! - b[j - 1]!)) out.push([--i, --j])
    else if (cost[i]![j] === cost[i - 1]![j]! + price) i--
    else j--
  }
  return out.reverse()
}
