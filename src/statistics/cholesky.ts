/** Inverse of a symmetric positive-definite matrix (row-major p × p) by Cholesky's factor. Throws RangeError if it is not one. */
export function invertPositive(matrix: Float64Array, p: number): Float64Array {
  const l = new Float64Array(p * p)
  for (let j = 0; j < p; j++) {
    for (let i = j; i < p; i++) {
      let sum = matrix[i * p + j]!
      for (let k = 0; k < j; k++) sum -= l[i * p + k]! * l[j * p + k]!
      if (i === j) {
        if (!(sum > 0)) throw new RangeError('the matrix is not positive definite')
        l[j * p + j] = Math.sqrt(sum)
      } else l[i * p + j] = sum / l[j * p + j]!
    }
  }
  const inverse = new Float64Array(p * p)
  const x = new Float64Array(p)
  for (let c = 0; c < p; c++) {
    for (let i = 0; i < p; i++) {
      let sum = i === c ? 1 : 0
      for (let k = c; k < i; k++) sum -= l[i * p + k]! * x[k]!
      x[i] = i < c ? 0 : sum / l[i * p + i]!
    }
    for (let i = p - 1; i >= 0; i--) {
      let sum = x[i]!
      for (let k = i + 1; k < p; k++) sum -= l[k * p + i]! * x[k]!
      x[i] = sum / l[i * p + i]!
      inverse[i * p + c] = x[i]!
    }
  }
  return inverse
}
