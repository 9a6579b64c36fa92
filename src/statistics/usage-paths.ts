import type { ActiveCells, ActiveDays } from './usage-course.ts'
import { drawFutures, type PlanOptions, sizeOf } from './usage-futures.ts'
import type { UsageModel } from './usage-model.ts'

/** Possible futures of one unit, as pointers to the past days that stand for each future day. */
export interface UsagePlan {
  paths: number
  /** Number of future days, the first being the model's `asOf` day. */
  horizon: number
  from: number
  /** Seed of the rounding of scaled counts. */
  salt: number
  /** Index into the history's counts of the day that stands for it, or −1 for an idle day; paths × horizon, path-major. */
  source: Int32Array
  /** Factor on that day's use. */
  scale: Float32Array
}

/**
 * Draws the futures. The same model, options and seed give the same futures. Time and memory: horizon × paths.
 * Throws RangeError for an unknown unit or a horizon that is not positive.
 */
export function planUsage(model: UsageModel, options: PlanOptions): UsagePlan {
  const { paths, horizon } = sizeOf(options)
  const { donorLevel } = model
  const source = new Int32Array(horizon * paths).fill(-1)
  const scale = new Float32Array(horizon * paths)
  const salt = drawFutures(model, options, (path, day, at, length, height) => {
    const cell = path * horizon + day
    for (let i = 0; i < length; i++) {
      source[cell + i] = at + i
      scale[cell + i] = height / donorLevel[at + i]!
    }
  })
  return { paths, horizon, from: model.asOf, salt, source, scale }
}

/** The same futures, of which only the days of use are kept. In a tenth of the room where most days are idle. */
export function planActive(model: UsageModel, options: PlanOptions, active: ActiveDays): ActiveCells {
  const { paths, horizon } = sizeOf(options)
  const { donorLevel } = model
  const { index } = active
  const starts = new Int32Array(paths + 1)
  let room = Math.ceil((paths * horizon) / 8)
  let days = new Int32Array(room)
  let source = new Int32Array(room)
  let scale = new Float32Array(room)
  let count = 0
  const salt = drawFutures(model, options, (path, day, at, length, height) => {
    if (count + length > room) {
      room = 2 * room + length
      days = grown(days, new Int32Array(room))
      source = grown(source, new Int32Array(room))
      scale = grown(scale, new Float32Array(room))
    }
    for (let i = 0; i < length; i++) {
      const place = index[at + i]!
      if (place < 0) continue
      days[count] = day + i
      source[count] = place
      scale[count] = height / donorLevel[at + i]!
      count += 1
    }
    starts[path + 1] = count
  })
  // A path without a stretch ends where the one before it did.
  for (let p = 0; p < paths; p++) starts[p + 1] = Math.max(starts[p]!, starts[p + 1]!)
  return {
    paths,
    horizon,
    from: model.asOf,
    salt,
    starts,
    days: days.slice(0, count),
    source: source.slice(0, count),
    scale: scale.slice(0, count),
  }
}

function grown<T extends Int32Array | Float32Array>(values: T, into: T): T {
  into.set(values)
  return into
}
