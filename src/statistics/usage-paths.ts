import { dayOfYear, seasonOf, YEAR } from './calendar.ts'
import { random } from './random.ts'
import { pickDonor, STATES } from './usage-donors.ts'
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

/**
 * Draws the futures. The same model, options and seed give the same futures. Time and memory: horizon × paths.
 * Throws RangeError for an unknown unit or a horizon that is not positive.
 */
export function planUsage(model: UsageModel, options: PlanOptions): UsagePlan {
  const { unit, horizon, seed, paths = 300, stretch = 15, windows, meanPerDay } = options
  const { history, level } = model
  if (!(horizon >= 1) || !(paths >= 1)) throw new RangeError(`a forecast needs at least one day and one path`)
  if (unit !== null && !(unit >= 0 && unit < history.units))
    throw new RangeError(`there is no unit ${unit} in the history`)
  const days = Math.floor(horizon)
  const draw = random(seed)
  const { calendar, isIdle, seasons } = futureDays(model, days, windows)
  const factor = meanPerDay === undefined ? 1 : plannedFactor(model, meanPerDay, unit, seasons[0]!)
  const laws = new Map<number, Level>()
  for (const season of new Set(seasons)) {
    const { mean, variance } = level.predict(unit, season)
    laws.set(season, { shape: (mean * mean) / variance, scale: variance / mean })
  }
  const owner = donorLevels(model)
  const known = model.asOf - history.firstDay
  const width = history.days + 1
  const startState = unit === null ? STATES - 1 : model.states[unit * width + known]!

  const source = new Int32Array(days * paths).fill(-1)
  const scale = new Float32Array(days * paths)
  const end = 1 / stretch
  const { counts } = history
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
      let at = isIdle[d] ? -1 : pickDonor(model, state, calendar[d]!, draw.uniform())
      if (at < 0) {
        state = STATES - 1
        d += 1
        continue
      }
      const unitRow = Math.floor(at / history.days)
      const stop = Math.min(d + draw.geometric(end), days)
      const last = unitRow * history.days + known - model.open[unitRow]!
      for (
        ;
        d < stop && at < last && !Number.isNaN(counts[at]!) && !isIdle[d] && seasons[d] === season;
        d++, at++
      ) {
        source[p * days + d] = at
        scale[p * days + d] = height / owner[at]!
      }
      state = model.states[unitRow * width + at - unitRow * history.days]!
    }
  }
  return {
    paths,
    horizon: days,
    from: model.asOf,
    salt: Math.floor(draw.uniform() * 4294967296),
    source,
    scale,
  }
}

/** Posterior level of the unit-season that each past day belongs to. */
function donorLevels(model: UsageModel): Float32Array {
  const { history, level, cut } = model
  const known = model.asOf - history.firstDay
  const levels = new Float32Array(history.units * history.days).fill(1)
  const seasons = Int32Array.from({ length: known }, (_, d) => seasonOf(history.firstDay + d, cut))
  const of = new Map(level.unitSeasons.map((s, i) => [`${s.unit} ${s.season}`, level.posterior[i]!]))
  for (let u = 0; u < history.units; u++) {
    let season = Number.NaN
    let value = 1
    for (let d = 0; d < known; d++) {
      if (seasons[d] !== season) {
        season = seasons[d]!
        value = of.get(`${u} ${season}`) ?? 1
      }
      levels[u * history.days + d] = value
    }
  }
  return levels
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
