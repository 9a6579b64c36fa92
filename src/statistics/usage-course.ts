import { chance } from './passage.ts'
import type { UsagePlan } from './usage-paths.ts'

/** Days of use on the paths of a plan: cells (path × horizon + day), path after path. All other days are idle. */
export interface ActiveCells {
  plan: UsagePlan
  /** Where each path's cells begin; one longer than there are paths. */
  starts: Int32Array
  cells: Int32Array
}

/** Cumulative use along each path on its days of use only: what `accumulate` gives, in a tenth of the room where most days are idle. */
export interface UsageCourse {
  paths: number
  horizon: number
  /** Day number of the first future day. */
  from: number
  starts: Int32Array
  /** Day (0-based) and use by its end. */
  days: Int32Array
  reached: Float64Array
}

/** Cells on which any of the counters may have use; `isActive` says so for each day of the plan's history (units × days). */
export function activeCells(plan: UsagePlan, isActive: Uint8Array): ActiveCells {
  const { paths, horizon, source } = plan
  const starts = new Int32Array(paths + 1)
  const cells = new Int32Array(paths * horizon)
  let count = 0
  for (let p = 0; p < paths; p++) {
    for (let cell = p * horizon, stop = cell + horizon; cell < stop; cell++) {
      const at = source[cell]!
      if (at >= 0 && isActive[at] === 1) cells[count++] = cell
    }
    starts[p + 1] = count
  }
  return { plan, starts, cells: cells.slice(0, count) }
}

/** Use of one counter along the paths; the same as `accumulate` to the last bit. */
export function courseOf(active: ActiveCells, counts: Float64Array, { whole = true } = {}): UsageCourse {
  const { plan, starts, cells } = active
  const { paths, horizon, from, salt, source, scale } = plan
  const days = new Int32Array(cells.length)
  const reached = new Float64Array(cells.length)
  for (let p = 0; p < paths; p++) {
    let sum = 0
    for (let i = starts[p]!, stop = starts[p + 1]!; i < stop; i++) {
      const cell = cells[i]!
      const v = counts[source[cell]!]!
      if (v > 0) sum += whole ? Math.floor(v * scale[cell]! + chance(cell, salt)) : v * scale[cell]!
      days[i] = cell - p * horizon
      reached[i] = sum
    }
  }
  return { paths, horizon, from, starts, days, reached }
}

/** Day numbers by which the given shares of the paths have reached `limit`; null beyond the horizon. As `passageDays`. */
export function coursePassageDays(
  course: UsageCourse,
  limit: number,
  levels: readonly number[] = [0.1, 0.5, 0.9],
): (number | null)[] {
  const { paths, horizon, from, starts, days, reached } = course
  const first = new Int32Array(paths)
  for (let p = 0; p < paths; p++) {
    let low = starts[p]!
    const stop = starts[p + 1]!
    let high = stop
    while (low < high) {
      const middle = (low + high) >> 1
      if (reached[middle]! >= limit) high = middle
      else low = middle + 1
    }
    first[p] = limit <= 0 ? 0 : low === stop ? horizon : days[low]!
  }
  first.sort()
  return levels.map((level) => {
    const day = first[Math.max(1, Math.ceil(level * paths - 1e-9)) - 1]!
    return day >= horizon ? null : from + day
  })
}

/** Mean use over the next `span` days. */
export function meanCourseUse({ paths, starts, days, reached }: UsageCourse, span: number): number {
  let sum = 0
  for (let p = 0; p < paths; p++) {
    let at = starts[p]! - 1
    for (let i = starts[p]!, stop = starts[p + 1]!; i < stop && days[i]! < span; i++) at = i
    if (at >= starts[p]!) sum += reached[at]!
  }
  return sum / paths
}
