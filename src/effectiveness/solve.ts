/** Solves a · x = b for a p × p matrix (row-major) by elimination with pivots; x is left in b. False when a is singular. */
export function solveInPlace(a: Float64Array, b: Float64Array, p: number): boolean {
  for (let column = 0; column < p; column++) {
    let pivot = column
    for (let i = column + 1; i < p; i++)
      if (Math.abs(a[i * p + column]!) > Math.abs(a[pivot * p + column]!)) pivot = i
    const lead = a[pivot * p + column]!
    if (!(Math.abs(lead) > 1e-12)) return false
    if (pivot !== column) {
      for (let k = 0; k < p; k++) {
        const held = a[column * p + k]!
        a[column * p + k] = a[pivot * p + k]!
        a[pivot * p + k] = held
      }
      const held = b[column]!
      b[column] = b[pivot]!
      b[pivot] = held
    }
    for (let i = column + 1; i < p; i++) {
      const factor = a[i * p + column]! / lead
      if (factor === 0) continue
      for (let k = column; k < p; k++) a[i * p + k]! -= factor * a[column * p + k]!
      b[i]! -= factor * b[column]!
    }
  }
  for (let i = p - 1; i >= 0; i--) {
    let sum = b[i]!
    for (let k = i + 1; k < p; k++) sum -= a[i * p + k]! * b[k]!
    b[i] = sum / a[i * p + i]!
  }
  return true
}
