import { chance } from './chance.ts'
import type { UsagePlan } from './usage-paths.ts'

/** Cumulative use along each path: paths × horizon, path-major. */
export interface UsagePaths {
  paths: number
  horizon: number
  /** Day number of the first future day. */
  from: number
  cumulative: Float64Array
}

/**
 * Use along the paths of a plan, from any matrix of the plan's history (units × days, row-major), so that several counters of one
 * unit share the same futures. `whole`: round each day's use to whole numbers up or down by chance, without bias (default true).
 */
export function accumulate(plan: UsagePlan, counts: Float64Array, { whole = true } = {}): UsagePaths {
  const { paths, horizon, from, salt, source, scale } = plan
  const cumulative = new Float64Array(paths * horizon)
  for (let p = 0; p < paths; p++) {
    let sum = 0
    for (let cell = p * horizon, stop = cell + horizon; cell < stop; cell++) {
      const at = source[cell]!
      const v = at < 0 ? 0 : counts[at]!
      if (v > 0) sum += whole ? Math.floor(v * scale[cell]! + chance(cell, salt)) : v * scale[cell]!
      cumulative[cell] = sum
    }
  }
  return { paths, horizon, from, cumulative }
}

/** Day (0-based) on which each path reaches `limit`; `horizon` where it does not. A limit ≤ 0 is reached on day 0. */
export function passagePerPath({ paths, horizon, cumulative }: UsagePaths, limit: number): Int32Array {
  const days = new Int32Array(paths)
  for (let p = 0; p < paths; p++) {
    const row = p * horizon
    let low = 0
    let high = horizon
    while (low < high) {
      const middle = (low + high) >> 1
      if (cumulative[row + middle]! >= limit) high = middle
      else low = middle + 1
    }
    days[p] = low
  }
  return days
}

/** Day numbers by which each share (level) of the paths has passed; null where that lies beyond the horizon ("censored"). */
function daysAtLevels(
  days: Int32Array,
  horizon: number,
  from: number,
  levels: readonly number[],
): (number | null)[] {
  const reached = new Int32Array(horizon + 1)
  for (let p = 0; p < days.length; p++) reached[days[p]!]! += 1
  for (let d = 1; d <= horizon; d++) reached[d]! += reached[d - 1]!
  return levels.map((level) => {
    const need = Math.max(1, Math.ceil(level * days.length - 1e-9))
    if (reached[horizon - 1]! < need) return null
    let day = 0
    while (reached[day]! < need) day++
    return from + day
  })
}

/** Share of paths that have reached `limit` by the end of day `day` (0-based, within the horizon). */
export function shareReached({ paths, horizon, cumulative }: UsagePaths, limit: number, day: number): number {
  let count = 0
  for (let p = 0; p < paths; p++) if (cumulative[p * horizon + day]! >= limit) count++
  return count / paths
}

/** Day numbers by which the given shares of the paths have reached `limit`; null where that lies beyond the horizon. */
export function passageDays(
  paths: UsagePaths,
  limit: number,
  levels: readonly number[] = [0.1, 0.5, 0.9],
): (number | null)[] {
  return daysAtLevels(passagePerPath(paths, limit), paths.horizon, paths.from, levels)
}

/** The same for whichever of several limits comes first on each path; all from one plan. Nulls for no limits. */
export function firstPassageDays(
  limits: readonly { paths: UsagePaths; limit: number }[],
  levels: readonly number[] = [0.1, 0.5, 0.9],
): (number | null)[] {
  const first = limits[0]?.paths
  if (first === undefined) return levels.map(() => null)
  const earliest = new Int32Array(first.paths).fill(first.horizon)
  for (const { paths, limit } of limits) {
    if (paths.paths !== first.paths || paths.horizon !== first.horizon || paths.from !== first.from) {
      throw new RangeError('limits that compete must share their paths')
    }
    const own = passagePerPath(paths, limit)
    for (let p = 0; p < earliest.length; p++) earliest[p] = Math.min(earliest[p]!, own[p]!)
  }
  return daysAtLevels(earliest, first.horizon, first.from, levels)
}

/** Use by the end of day `day` (0-based) at the given levels of the paths: the least value that the share of paths does not exceed. */
export function useByDay(
  { paths, horizon, cumulative }: UsagePaths,
  day: number,
  levels: readonly number[] = [0.1, 0.5, 0.9],
): number[] {
  const column = new Float64Array(paths)
  for (let p = 0; p < paths; p++) column[p] = cumulative[p * horizon + day]!
  column.sort()
  return levels.map((level) => column[Math.max(0, Math.ceil(level * paths - 1e-9) - 1)]!)
}
