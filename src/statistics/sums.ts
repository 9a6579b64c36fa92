/** Sums that do not depend on the order of their terms. */

/**
 * The exact sum of finite numbers, rounded once: the same last bit for the same numbers in any order.
 *
 * Partial sums without overlap after J. R. Shewchuk, "Adaptive Precision Floating-Point Arithmetic and Fast Robust
 * Geometric Predicates" (1997). An empty list gives 0; a NaN or infinity among the terms gives what plain addition gives.
 */
export function stableSum(values: ArrayLike<number>): number {
  const partials: number[] = []
  let special = 0
  let isSpecial = false
  for (let k = 0; k < values.length; k++) {
    let x = values[k]!
    if (!Number.isFinite(x)) {
      special += x
      isSpecial = true
      continue
    }
    let used = 0
    for (let j = 0; j < partials.length; j++) {
      let y = partials[j]!
      if (Math.abs(x) < Math.abs(y)) {
        const swap = x
        x = y
        y = swap
      }
      const high = x + y
      const low = y - (high - x)
      if (low !== 0) partials[used++] = low
      x = high
    }
    partials.length = used
    partials.push(x)
  }
  return isSpecial ? special : roundOnce(partials)
}

/** Adds partials of rising size from the top and settles a tie by the sign of what is left below. */
function roundOnce(partials: number[]): number {
  let n = partials.length
  if (n === 0) return 0
  let high = partials[--n]!
  let low = 0
  while (n > 0) {
    const x = high
    const y = partials[--n]!
    high = x + y
    low = y - (high - x)
    if (low !== 0) break
  }
  if (n > 0 && low !== 0 && Math.sign(low) === Math.sign(partials[n - 1]!)) {
    const twice = low * 2
    const x = high + twice
    if (twice === x - high) high = x
  }
  return high
}

/** Exact sum of products a[i]·b[i] rounded per product, summed exactly. Arrays of equal length. */
export function stableDot(a: ArrayLike<number>, b: ArrayLike<number>): number {
  if (a.length !== b.length)
    throw new RangeError(`stableDot needs arrays of one length, got ${a.length} and ${b.length}`)
  const products = new Float64Array(a.length)
  for (let i = 0; i < a.length; i++) products[i] = a[i]! * b[i]!
  return stableSum(products)
}
