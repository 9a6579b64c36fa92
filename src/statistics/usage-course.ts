import { chance } from './passage.ts'

/** Days of use on the paths of a plan, path after path; all other days are idle. */
export interface ActiveCells {
  paths: number
  horizon: number
  /** Day number of the first future day. */
  from: number
  salt: number
  /** Where each path's cells begin; one longer than there are paths. */
  starts: Int32Array
  /** Path × horizon + day. */
  cells: Int32Array
  /** Index into the history's counts of the day that stands for it, and the factor on that day's use. */
  source: Int32Array
  scale: Float32Array
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

/** Use of one counter along the paths; the same as `accumulate` to the last bit. */
export function courseOf(active: ActiveCells, counts: Float64Array, { whole = true } = {}): UsageCourse {
  const { paths, horizon, from, salt, starts, cells, source, scale } = active
  const days = new Int32Array(cells.length)
  const reached = new Float64Array(cells.length)
  for (let p = 0; p < paths; p++) {
    let sum = 0
    for (let i = starts[p]!, stop = starts[p + 1]!; i < stop; i++) {
      const cell = cells[i]!
      const v = counts[source[i]!]!
      if (v > 0) sum += whole ? Math.floor(v * scale[i]! + chance(cell, salt)) : v * scale[i]!
      days[i] = cell - p * horizon
      reached[i] = sum
    }
  }
  return { paths, horizon, from, starts, days, reached }
}

/** Day (0-based) on which each path reaches `limit`, soonest first; `horizon` where it does not. */
export function coursePassages(
  { paths, horizon, starts, days, reached }: UsageCourse,
  limit: number,
): Int32Array {
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
  return first.sort()
}

/** Day numbers by which the given shares of the paths have reached `limit`; null beyond the horizon. As `passageDays`. */
export function coursePassageDays(
  course: UsageCourse,
  limit: number,
  levels: readonly number[] = [0.1, 0.5, 0.9],
): (number | null)[] {
  return passageDaysAt(course, coursePassages(course, limit), levels)
}

/** The same from passages that are known. */
export function passageDaysAt(
  { paths, horizon, from }: UsageCourse,
  passages: Int32Array,
  levels: readonly number[],
): (number | null)[] {
  return levels.map((level) => {
    const day = passages[rankOf(level, paths)]!
    return day >= horizon ? null : from + day
  })
}

/** Use by the end of day `day` (0-based) at the given levels of the paths. As `useByDay`. */
export function courseUseByDay(
  { paths, starts, days, reached }: UsageCourse,
  day: number,
  levels: readonly number[],
): number[] {
  const column = new Float64Array(paths)
  for (let p = 0; p < paths; p++) {
    let low = starts[p]!
    let high = starts[p + 1]!
    while (low < high) {
      const middle = (low + high) >> 1
      if (days[middle]! > day) high = middle
      else low = middle + 1
    }
    column[p] = low > starts[p]! ? reached[low - 1]! : 0
  }
  column.sort()
  return levels.map((level) => column[rankOf(level, paths)]!)
}

/** Place, in ascending order, of the path by which a share of the paths is reached. */
const rankOf = (level: number, paths: number): number => Math.max(1, Math.ceil(level * paths - 1e-9)) - 1

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
