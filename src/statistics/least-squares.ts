import { stableDot, stableSum } from './sums.ts'

export interface LeastSquaresFit {
  n: number
  /** Intercept first, then one coefficient per column. */
  coefficients: Float64Array
  sds: Float64Array
  residuals: Float64Array
  residualSd: number
  rSquared: number
  sse: number
  f: number
  df: number
  /** (XᵀWX)⁻¹ of intercept and columns, row-major (columns + 1)². */
  inverseGram: Float64Array
}

/** Householder triangularisation in place of a column-major n × p matrix, applied to the right-hand side. Returns R row-major. */
function triangularise(columns: Float64Array[], rhs: Float64Array): Float64Array[] {
  const n = rhs.length
  const p = columns.length
  const r: Float64Array[] = Array.from({ length: p }, () => new Float64Array(p))
  for (let k = 0; k < p; k++) {
    const column = columns[k]!
    let norm = 0
    for (let i = k; i < n; i++) norm = Math.hypot(norm, column[i]!)
    if (!(norm > 1e-13))
      throw new RangeError(`column ${k + 1} is a combination of the columns before it; leave it out`)
    const alpha = column[k]! > 0 ? -norm : norm
    const v = column.slice(k)
    v[0]! -= alpha
    const vv = stableDot(v, v)
    const reflect = (target: Float64Array): void => {
      const tail = target.subarray(k)
      const factor = (2 * stableDot(v, tail)) / vv
      for (let i = 0; i < v.length; i++) tail[i]! -= factor * v[i]!
    }
    for (let j = k; j < p; j++) {
      reflect(columns[j]!)
      r[k]![j] = columns[j]![k]!
    }
    reflect(rhs)
  }
  return r
}

/**
 * Multiple linear regression with an intercept, by Householder QR on centred and scaled columns (the centring takes out most of
 * the ill-conditioning of data such as NIST StRD's Longley).
 *
 * `x`: one array of n values per column. `weights`: n non-negative weights, or none. Throws RangeError for unequal lengths,
 * collinear columns, or no more rows than coefficients.
 */
export function leastSquares(
  x: readonly ArrayLike<number>[],
  y: ArrayLike<number>,
  weights?: ArrayLike<number>,
): LeastSquaresFit {
  const n = y.length
  const p = x.length
  if (x.some((column) => column.length !== n) || (weights && weights.length !== n)) {
    throw new RangeError(`regression needs arrays of one length (${n})`)
  }
  if (n <= p + 1) throw new RangeError(`${p + 1} coefficients need more than ${p + 1} rows, got ${n}`)
  const w = weights ? Float64Array.from(weights) : new Float64Array(n).fill(1)
  const whole = stableSum(w)
  const center = (values: ArrayLike<number>): number => stableDot(w, values) / whole
  const root = w.map(Math.sqrt)
  const weighted = (values: ArrayLike<number>, middle: number, scale: number): Float64Array =>
    root.map((s, i) => (s * (values[i]! - middle)) / scale)

  const middles = x.map(center)
  const scales = x.map((column, j) => {
    const d = weighted(column, middles[j]!, 1)
    return Math.sqrt(stableDot(d, d)) || 1
  })
  const my = center(y)
  const rhs = weighted(y, my, 1)
  const total = stableDot(rhs, rhs)
  const r = triangularise(
    x.map((column, j) => weighted(column, middles[j]!, scales[j]!)),
    rhs,
  )

  // back substitution for the coefficients and for R⁻¹
  const inverse: Float64Array[] = Array.from({ length: p }, () => new Float64Array(p))
  for (let j = 0; j < p; j++) {
    inverse[j]![j] = 1 / r[j]![j]!
    for (let i = j - 1; i >= 0; i--) {
      let sum = 0
      for (let k = i + 1; k <= j; k++) sum += r[i]![k]! * inverse[k]![j]!
      inverse[i]![j] = -sum / r[i]![i]!
    }
  }
  const size = p + 1
  const coefficients = new Float64Array(size)
  for (let i = 0; i < p; i++) {
    let sum = 0
    for (let k = i; k < p; k++) sum += inverse[i]![k]! * rhs[k]!
    coefficients[i + 1] = sum / scales[i]!
  }
  coefficients[0] = my - stableDot(middles, coefficients.subarray(1))

  const gram = new Float64Array(size * size)
  for (let i = 0; i < p; i++) {
    for (let j = 0; j < p; j++) {
      let sum = 0
      for (let k = Math.max(i, j); k < p; k++) sum += inverse[i]![k]! * inverse[j]![k]!
      gram[(i + 1) * size + j + 1] = sum / (scales[i]! * scales[j]!)
    }
  }
  let corner = 1 / whole
  for (let i = 1; i < size; i++) {
    let sum = 0
    for (let j = 1; j < size; j++) sum += gram[i * size + j]! * middles[j - 1]!
    gram[i * size] = -sum
    gram[i] = -sum
    corner += middles[i - 1]! * sum
  }
  gram[0] = corner

  const residuals = new Float64Array(n)
  for (let i = 0; i < n; i++) {
    let fitted = 0
    for (let j = 0; j < p; j++) fitted += coefficients[j + 1]! * (x[j]![i]! - middles[j]!)
    residuals[i] = y[i]! - my - fitted
  }
  const sse = stableDot(
    w,
    residuals.map((e) => e * e),
  )
  const df = n - size
  const variance = sse / df
  return {
    n,
    coefficients,
    sds: Float64Array.from({ length: size }, (_, i) => Math.sqrt(variance * gram[i * size + i]!)),
    residuals,
    residualSd: Math.sqrt(variance),
    rSquared: total === 0 ? 1 : 1 - sse / total,
    sse,
    f: (total - sse) / p / variance,
    df,
    inverseGram: gram,
  }
}
