/**
 * Median of the first `count` numbers (at least one, none NaN), which are left in another order; the same to the last bit as
 * by sorting them all, in time that grows with their number alone (Hoare, Algorithm 65: Find, Communications of the ACM 4, 1961).
 */
export function medianWithin(values: Float64Array, count: number): number {
  const middle = (count - 1) >> 1
  select(values, count, middle)
  const low = values[middle]!
  if (count % 2 === 1) return low
  let high = Number.POSITIVE_INFINITY
  for (let i = middle + 1; i < count; i++) high = Math.min(high, values[i]!)
  return (low + high) / 2
}

/** Puts the number of that rank (from 0) at its place, none greater before it and none less after it. */
function select(values: Float64Array, count: number, rank: number): void {
  let left = 0
  let right = count - 1
  while (left < right) {
    const pivot = middleOf(values[left]!, values[(left + right) >> 1]!, values[right]!)
    let i = left
    let j = right
    while (i <= j) {
      while (values[i]! < pivot) i++
      while (values[j]! > pivot) j--
      if (i > j) break
      const swapped = values[i]!
      values[i++] = values[j]!
      values[j--] = swapped
    }
    if (rank <= j) right = j
    else if (rank >= i) left = i
    else return
  }
}

const middleOf = (a: number, b: number, c: number): number =>
  Math.max(Math.min(a, b), Math.min(Math.max(a, b), c))
