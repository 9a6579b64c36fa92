import { MAD_TO_SD } from '../statistics/index.ts'

/** Robust standard deviation of residuals about 0 (median size, scaled for the normal), never quite 0. */
export function spread(residual: Float64Array): number {
  const size = residual.slice()
  for (let i = 0; i < size.length; i++) size[i] = Math.abs(size[i]!)
  return Math.max(upperMedian(size) * MAD_TO_SD, 1e-3)
}

/** The value that half of the others do not exceed, by Hoare's selection in place; sorting would take most of the time of a fit. */
function upperMedian(x: Float64Array): number {
  const k = x.length >> 1
  let left = 0
  let right = x.length - 1
  while (left < right) {
    const pivot = x[(left + right) >> 1]!
    let i = left
    let j = right
    while (i <= j) {
      while (x[i]! < pivot) i++
      while (x[j]! > pivot) j--
      if (i > j) break
      const held = x[i]!
      x[i] = x[j]!
      x[j] = held
      i++
      j--
    }
    if (k <= j) right = j
    else if (k >= i) left = i
    else break
  }
  return x[k]!
}
