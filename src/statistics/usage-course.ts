import { chance } from './chance.ts'

/** The days of a history that have use of any counter, close together in memory: `index` gives each day its place, −1 for an idle one. */
export interface ActiveDays {
  /** Units × days of the history. */
  index: Int32Array
  /** Where each lies in the history's counts. */
  at: Int32Array
}

/** Marks the days on which any of the matrices (units × days) has use. */
export function activeDays(matrices: Iterable<Float64Array>, size: number): ActiveDays {
  const index = new Int32Array(size)
  for (const matrix of matrices) for (let i = 0; i < size; i++) if (matrix[i]! > 0) index[i] = 1
  let count = 0
  for (let i = 0; i < size; i++) index[i] = index[i] === 1 ? count++ : -1
  const at = new Int32Array(count)
  for (let i = 0; i < size; i++) if (index[i]! >= 0) at[index[i]!] = i
  return { index, at }
}

/** What a matrix holds on those days. */
export function onActiveDays<T extends Float64Array | Float32Array>({ at }: ActiveDays, matrix: T): T {
  const kept = new (matrix.constructor as new (length: number) => T)(at.length)
  for (let i = 0; i < at.length; i++) kept[i] = matrix[at[i]!]!
  return kept
}

/** Days of use on the paths of a plan, path after path; all other days are idle. */
export interface ActiveCells {
  paths: number
  horizon: number
  /** Day number of the first future day. */
  from: number
  salt: number
  /** Where each path's days begin; one longer than there are paths. */
  starts: Int32Array
  /** Future day, 0-based. */
  days: Int32Array
  /** Place among the active days of the day that stands for it, and the factor on that day's use. */
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

/** Use of one counter (its counts on active days) along the paths; the same as `accumulate` to the last bit. */
export function courseOf(active: ActiveCells, counts: Float64Array, { whole = true } = {}): UsageCourse {
  const { paths, horizon, from, salt, starts, days, source, scale } = active
  const reached = new Float64Array(days.length)
  for (let p = 0; p < paths; p++) {
    let sum = 0
    for (let i = starts[p]!, stop = starts[p + 1]!; i < stop; i++) {
      const v = counts[source[i]!]!
      if (v > 0)
        sum += whole ? Math.floor(v * scale[i]! + chance(p * horizon + days[i]!, salt)) : v * scale[i]!
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

/** Use of each path by the end of day `day` (0-based), least first. */
export function courseUses({ paths, starts, days, reached }: UsageCourse, day: number): Float64Array {
  const uses = new Float64Array(paths)
  for (let p = 0; p < paths; p++) {
    let low = starts[p]!
    let high = starts[p + 1]!
    while (low < high) {
      const middle = (low + high) >> 1
      if (days[middle]! > day) high = middle
      else low = middle + 1
    }
    uses[p] = low > starts[p]! ? reached[low - 1]! : 0
  }
  return uses.sort()
}

/** Use by the end of day `day` (0-based) at the given levels of the paths. As `useByDay`. */
export function courseUseByDay(course: UsageCourse, day: number, levels: readonly number[]): number[] {
  const uses = courseUses(course, day)
  return levels.map((level) => uses[rankOf(level, course.paths)]!)
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
