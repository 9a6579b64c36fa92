import { dayOfYear, seasonOf, YEAR } from './calendar.ts'
import { random } from './random.ts'
import { pickDonor, STATES } from './usage-donors.ts'
import type { UsageModel } from './usage-model.ts'

export interface PlanOptions {
  /** Row of the unit in the history; null for one that was never watched. */
  unit: number | null
  horizon: number
  seed: number | string
  /** 300 unless told: the shares of paths at 10 and 90 % are then good to ±2 %. */
  paths?: number
  /** Mean length of a stretch of donor days, 15 unless told. */
  stretch?: number
  /** Planned seasons (day numbers, last day included): idle outside, and the records' season fitted to each of them. */
  windows?: readonly { from: number; to: number }[]
  /** Planned mean use per day inside the season, instead of the level that the records give; its uncertainty stays. */
  meanPerDay?: number
}

/** Shape of a gamma law for a level of the given mean and variance. */
interface Level {
  shape: number
  scale: number
}

/** Takes a stretch of `length` past days from `at` on (an index into the history's counts) for the days from `day` on of a path. */
export type TakeStretch = (path: number, day: number, at: number, length: number, height: number) => void

export function sizeOf({ horizon, paths = 300 }: PlanOptions): { paths: number; horizon: number } {
  if (!(horizon >= 1) || !(paths >= 1)) throw new RangeError(`a forecast needs at least one day and one path`)
  return { paths, horizon: Math.floor(horizon) }
}

/** Chains stretches of donor days along each path, path after path and day after day; gives the salt of the plan. */
export function drawFutures(model: UsageModel, options: PlanOptions, take: TakeStretch): number {
  const { unit, seed, stretch = 15, windows, meanPerDay } = options
  const { paths, horizon: days } = sizeOf(options)
  const { history, level, states, open } = model
  if (unit !== null && !(unit >= 0 && unit < history.units))
    throw new RangeError(`there is no unit ${unit} in the history`)
  const draw = random(seed)
  const { calendar, isIdle, seasons } = futureDays(model, days, windows)
  const alike = alikeFrom(isIdle, seasons)
  const factor = meanPerDay === undefined ? 1 : plannedFactor(model, meanPerDay, unit, seasons[0]!)
  const laws = new Map<number, Level>()
  for (const season of new Set(seasons)) {
    const { mean, variance } = level.predict(unit, season)
    laws.set(season, { shape: (mean * mean) / variance, scale: variance / mean })
  }
  const known = model.asOf - history.firstDay
  const width = history.days + 1
  const startState = unit === null ? STATES - 1 : states[unit * width + known]!

  const end = 1 / stretch
  for (let p = 0; p < paths; p++) {
    let state = startState
    let season = Number.NaN
    let height = 1
    let d = 0
    while (d < days) {
      if (seasons[d] !== season) {
        season = seasons[d]!
        const law = laws.get(season)!
        height = draw.gamma(law.shape) * law.scale * factor * level.balance
      }
      const at = isIdle[d] ? -1 : pickDonor(model, state, calendar[d]!, draw.uniform())
      if (at < 0) {
        state = STATES - 1
        d += 1
        continue
      }
      const unitRow = Math.floor(at / history.days)
      const last = unitRow * history.days + known - open[unitRow]!
      const most = Math.min(draw.geometric(end), alike[d]!, last - at)
      const length = watchedFrom(model, unitRow, at, most)
      take(p, d, at, length, height)
      d += length
      state = states[unitRow * width + at + length - unitRow * history.days]!
    }
  }
  return Math.floor(draw.uniform() * 4294967296)
}

/** For how many of the next `most` days from `at` on the unit was watched; looked at only where its record has gaps. */
function watchedFrom({ history, hasGaps }: UsageModel, unit: number, at: number, most: number): number {
  if (hasGaps[unit] === 0) return most
  let length = 1
  while (length < most && !Number.isNaN(history.counts[at + length]!)) length++
  return length
}

/** How many days from each future day on are of its season and not outside the planned windows. */
function alikeFrom(isIdle: Uint8Array, seasons: Int32Array): Int32Array {
  const alike = new Int32Array(isIdle.length)
  for (let d = isIdle.length - 1; d >= 0; d--)
    alike[d] = isIdle[d] ? 0 : 1 + (seasons[d + 1] === seasons[d] ? alike[d + 1]! : 0)
  return alike
}

/** Day of year that each future day borrows from, whether it is outside all planned windows, and its season. */
function futureDays(
  model: UsageModel,
  days: number,
  windows: PlanOptions['windows'],
): { calendar: Int16Array; isIdle: Uint8Array; seasons: Int32Array } {
  const calendar = new Int16Array(days)
  const isIdle = new Uint8Array(days)
  const seasons = new Int32Array(days)
  for (let d = 0; d < days; d++) {
    const day = model.asOf + d
    calendar[d] = dayOfYear(day)
    seasons[d] = seasonOf(day, model.cut)
    if (windows === undefined) continue
    const window = windows.find((w) => day >= w.from && day <= w.to)
    if (window === undefined) {
      isIdle[d] = 1
      continue
    }
    const share = (day - window.from) / Math.max(1, window.to - window.from)
    const offset = model.seasonStart + share * (model.seasonEnd - model.seasonStart)
    calendar[d] = (model.cut + Math.round(offset)) % YEAR
  }
  return { calendar, isIdle, seasons }
}

/** Factor that brings the expected use of the season's days to the planned mean. */
function plannedFactor(model: UsageModel, meanPerDay: number, unit: number | null, season: number): number {
  let expected = 0
  let count = 0
  for (let k = model.seasonStart; k <= model.seasonEnd; k++) {
    expected += model.shape[(model.cut + k) % YEAR]!
    count += 1
  }
  const mean = (expected / count) * model.level.predict(unit, season).mean
  return mean > 0 ? meanPerDay / mean : 1
}
