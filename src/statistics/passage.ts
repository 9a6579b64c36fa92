import type { UsagePlan } from './usage-paths.ts'

/** Cumulative use along each path: horizon × paths, day-major. */
export interface UsagePaths {
  paths: number
  horizon: number
  from: number
  cumulative: Float64Array
}

/**
 * Use along the paths of a plan, from any matrix of the plan's history (units × days, row-major), so that several counters of one
 * unit share the same futures. `whole`: round each day's use to whole numbers without bias (default true).
 */
export function accumulate(plan: UsagePlan, counts: Float64Array, { whole = true } = {}): UsagePaths {
  const { paths, horizon, from, source, scale, dither } = plan
  const cumulative = new Float64Array(horizon * paths)
  for (let d = 0; d < horizon; d++) {
    const row = d * paths
    for (let p = 0; p < paths; p++) {
      const cell = row + p
      const before = d === 0 ? 0 : cumulative[cell - paths]!
      const at = source[cell]!
      const v = at < 0 ? 0 : counts[at]!
      cumulative[cell] =
        v > 0 ? before + (whole ? Math.floor(v * scale[cell]! + dither[cell]!) : v * scale[cell]!) : before
    }
  }
  return { paths, horizon, from, cumulative }
}

/** Share of paths that have reached `limit` by the end of day `day` (0-based). */
export function shareReached({ paths, cumulative }: UsagePaths, limit: number, day: number): number {
  let count = 0
  for (let i = day * paths, stop = i + paths; i < stop; i++) if (cumulative[i]! >= limit) count++
  return count / paths
}

/** First day (0-based) on which at least `share` of the paths satisfy a monotone condition; null if not within the horizon. */
function firstDay(horizon: number, share: number, reached: (day: number) => number): number | null {
  const need = share - 1e-12
  if (reached(horizon - 1) < need) return null
  let low = 0
  let high = horizon - 1
  while (low < high) {
    const middle = (low + high) >> 1
    if (reached(middle) >= need) high = middle
    else low = middle + 1
  }
  return low
}

/**
 * Day number by which each share (level) of the paths has reached `limit`, or null where it lies beyond the horizon ("censored").
 * A limit ≤ 0 is reached at the start.
 */
export function passageDays(
  paths: UsagePaths,
  limit: number,
  levels: readonly number[] = [0.1, 0.5, 0.9],
): (number | null)[] {
  return levels.map((level) => {
    const day = firstDay(paths.horizon, level, (d) => shareReached(paths, limit, d))
    return day === null ? null : paths.from + day
  })
}

/** The same for whichever of several limits comes first on each path; all from one plan. */
export function firstPassageDays(
  limits: readonly { paths: UsagePaths; limit: number }[],
  levels: readonly number[] = [0.1, 0.5, 0.9],
): (number | null)[] {
  const first = limits[0]
  if (first === undefined) return levels.map(() => null)
  const { paths, horizon, from } = first.paths
  if (limits.some((l) => l.paths.paths !== paths || l.paths.horizon !== horizon || l.paths.from !== from)) {
    throw new RangeError('limits that compete must share their paths')
  }
  const reached = (day: number): number => {
    let count = 0
    for (let p = 0; p < paths; p++) {
      const cell = day * paths + p
      if (limits.some((l) => l.paths.cumulative[cell]! >= l.limit)) count++
    }
    return count / paths
  }
  return levels.map((level) => {
    const day = firstDay(horizon, level, reached)
    return day === null ? null : from + day
  })
}
