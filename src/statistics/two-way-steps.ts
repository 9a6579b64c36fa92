import { invertPositive } from './cholesky.ts'
import { MAD_TO_SD } from './quantiles.ts'
import { medianWithin } from './select.ts'

/**
 * Steps of the two-way fit. Effects are numbered rows first, then columns; pair k joins row effect `at[k]` with column effect `to[k]`.
 */

/** Connected groups of rows and columns, numbered by their least member. */
export function groups(at: Int32Array, to: Int32Array, size: number): Int32Array {
  const parent = Int32Array.from({ length: size }, (_, i) => i)
  const root = (i: number): number => {
    let r = i
    while (parent[r] !== r) r = parent[r]!
    while (parent[i] !== r) {
      const next = parent[i]!
      parent[i] = r
      i = next
    }
    return r
  }
  for (let k = 0; k < at.length; k++) {
    const a = root(at[k]!)
    const b = root(to[k]!)
    parent[Math.max(a, b)] = Math.min(a, b)
  }
  return parent.map((_, i) => root(i))
}

export function medianPolish(
  at: Int32Array,
  to: Int32Array,
  value: Float64Array,
  counts: Int32Array,
): Float64Array {
  const effects = new Float64Array(counts.length)
  const first = new Int32Array(counts.length + 1)
  for (let i = 0; i < counts.length; i++) first[i + 1] = first[i]! + counts[i]!
  const next = first.slice()
  const members = new Int32Array(2 * value.length)
  for (let k = 0; k < value.length; k++) {
    members[next[at[k]!]!++] = k
    members[next[to[k]!]!++] = k
  }
  const own = new Float64Array(counts.reduce((most, count) => Math.max(most, count), 0))
  for (let round = 0; round < 10; round++) {
    let isMoved = false
    for (let i = 0; i < counts.length; i++) {
      const count = counts[i]!
      if (count === 0) continue
      for (let n = 0; n < count; n++) {
        const k = members[first[i]! + n]!
        own[n] = value[k]! - effects[at[k] === i ? to[k]! : at[k]!]!
      }
      const effect = medianWithin(own, count)
      if (effect !== effects[i]) isMoved = true
      effects[i] = effect
    }
    if (!isMoved) break
  }
  return effects
}

/** MAD of the residuals of well-supported pairs, widened for the effects fitted. */
export function residualScale(
  residuals: Float64Array,
  at: Int32Array,
  to: Int32Array,
  counts: Int32Array,
  group: Int32Array,
): number | null {
  const effects = counts.filter((c) => c > 0).length
  const present = new Set(Array.from(group).filter((_, i) => counts[i]! > 0)).size
  const df = residuals.length - effects + present
  if (df <= 0) return null
  const firm = residuals.filter((_, k) => counts[at[k]!]! >= 3 && counts[to[k]!]! >= 3)
  const used = firm.length >= 5 ? firm : residuals
  const widen = Math.min(2, Math.sqrt(residuals.length / df))
  return medianWithin(used.map(Math.abs), used.length) * MAD_TO_SD * widen
}

/** Position of each effect among the unknowns, or −1: effects without pairs and the first column of each group are held at 0. */
export function pinned(group: Int32Array, counts: Int32Array, rows: number): Int32Array {
  const held = new Set<number>()
  let next = 0
  return counts.map((count, i) => {
    if (count === 0) return -1
    if (i >= rows && !held.has(group[i]!)) {
      held.add(group[i]!)
      return -1
    }
    return next++
  })
}

/** Weighted least squares into `effects`; returns the inverse of the normal matrix of the free effects. */
export function solveWeighted(
  at: Int32Array,
  to: Int32Array,
  value: Float64Array,
  weights: Float64Array,
  free: Int32Array,
  effects: Float64Array,
): Float64Array {
  const p = free.reduce((most, f) => Math.max(most, f + 1), 0)
  const gram = new Float64Array(p * p)
  const rhs = new Float64Array(p)
  for (let k = 0; k < value.length; k++) {
    const a = free[at[k]!]!
    const b = free[to[k]!]!
    const w = weights[k]!
    gram[a * p + a]! += w
    rhs[a]! += w * value[k]!
    if (b < 0) continue
    gram[b * p + b]! += w
    gram[a * p + b]! += w
    gram[b * p + a]! += w
    rhs[b]! += w * value[k]!
  }
  const inverse = invertPositive(gram, p)
  for (let i = 0; i < free.length; i++) {
    const f = free[i]!
    let sum = 0
    if (f >= 0) for (let j = 0; j < p; j++) sum += inverse[f * p + j]! * rhs[j]!
    effects[i] = sum
  }
  return inverse
}

/** Moves the median column effect of each group to 0; returns the one or two columns that the median rests on. */
export function centerColumns(
  effects: Float64Array,
  group: Int32Array,
  counts: Int32Array,
  rows: number,
): Map<number, number[]> {
  const anchors = new Map<number, number[]>()
  for (const g of new Set(group)) {
    const members = Array.from(effects.keys()).filter((i) => i >= rows && group[i] === g && counts[i]! > 0)
    if (members.length === 0) continue
    members.sort((a, b) => effects[a]! - effects[b]! || a - b)
    const middle = members.length >> 1
    const own = members.length % 2 === 1 ? [members[middle]!] : [members[middle - 1]!, members[middle]!]
    const shift = own.reduce((sum, i) => sum + effects[i]!, 0) / own.length
    for (let i = 0; i < effects.length; i++) {
      if (group[i] === g && counts[i]! > 0) effects[i]! += i < rows ? shift : -shift
    }
    anchors.set(g, own)
  }
  return anchors
}
