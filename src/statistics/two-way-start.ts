import { firstAbove, medianOfRuns, type Run } from './median-of-runs.ts'
import { MAD_TO_SD } from './quantiles.ts'
import { type Cells, cellsByEffect } from './two-way-cells.ts'

/** Where the two-way fit starts: effects by median polish, and the scale of what they leave. */

export function medianPolish(cells: Cells): Float64Array {
  const { at, to, counts } = cells
  const effects = new Float64Array(counts.length)
  const byEffect = cellsByEffect(cells)
  for (let round = 0; round < 10; round++) {
    let isMoved = false
    for (let i = 0; i < counts.length; i++) {
      const own = byEffect[i]!
      if (own.length === 0) continue
      const effect = medianOfRuns(
        own.map((c) => residuals(cells, c, effects[at[c] === i ? to[c]! : at[c]!]!, 0)),
      )
      if (effect !== effects[i]) isMoved = true
      effects[i] = effect
    }
    if (!isMoved) break
  }
  return effects
}

/** MAD of the residuals of well-supported pairs, widened for the effects fitted. */
export function residualScale(cells: Cells, effects: Float64Array, group: Int32Array): number | null {
  const { at, to, first, value, counts } = cells
  const present = new Set(Array.from(group).filter((_, i) => counts[i]! > 0)).size
  const df = value.length - counts.filter((c) => c > 0).length + present
  if (df <= 0) return null
  const all = Array.from(at.keys())
  const firm = all.filter((c) => counts[at[c]!]! >= 3 && counts[to[c]!]! >= 3)
  const isFirm = firm.reduce((sum, c) => sum + first[c + 1]! - first[c]!, 0) >= 5
  const sizes = (isFirm ? firm : all).flatMap((c) =>
    sizesOf(residuals(cells, c, effects[at[c]!]!, effects[to[c]!]!)),
  )
  const widen = Math.min(2, Math.sqrt(value.length / df))
  return medianOfRuns(sizes) * MAD_TO_SD * widen
}

/** What is left of a cell's values less two effects. */
function residuals({ first, value }: Cells, c: number, one: number, other: number): Run {
  const from = first[c]!
  return { length: first[c + 1]! - from, at: (i) => value[from + i]! - one - other }
}

/** The sizes of the numbers of a run: of those up to 0 from its end on, and of those above. */
function sizesOf({ length, at }: Run): Run[] {
  const above = firstAbove({ length, at }, 0, length, 0)
  return [
    { length: above, at: (i) => -at(above - 1 - i) },
    { length: length - above, at: (i) => at(above + i) },
  ]
}
