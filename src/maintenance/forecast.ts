import {
  accumulate,
  fitUsage,
  planUsage,
  type UsageModel,
  type UsagePaths,
  type UsagePlan,
} from '../statistics/index.ts'
import { courseName, type FleetHistory } from './history.ts'

export interface Window {
  from: number
  to: number
}

export interface ForecastOptions {
  /** Last known day (day number); the futures begin on the next. */
  lastDay: number
  seed: number
  /** Planned seasons, if any are on record. */
  windows?: readonly Window[]
  /** Planned mean openings a day in the season, instead of what the records give. */
  perDay?: number
  horizonDays?: number
  paths?: number
}

/** Days looked ahead: past the end of the next season. */
export const HORIZON_DAYS = 550
const PATHS = 300

/** Where a due list takes its futures from. */
export interface Futures {
  /** Futures of one counter of a tank (and door), or null when there is no use on record to draw from. */
  paths(tank: string, counter: string, position: string | null): UsagePaths | null
  /** What the futures of a tank rest on, in words. */
  basis(tank: string): string
}

/** Possible futures of each tank, drawn once and shared by all its counters, doors and components. */
export class Forecast implements Futures {
  readonly #history: FleetHistory | null
  readonly #model: UsageModel | null
  readonly #options: ForecastOptions
  readonly #plans = new Map<string, UsagePlan>()
  readonly #paths = new Map<string, UsagePaths>()

  constructor(history: FleetHistory | null, options: ForecastOptions) {
    this.#history = history
    this.#options = options
    this.#model = history && fitUsage(history, { asOf: options.lastDay + 1 })
  }

  paths(tank: string, counter: string, position: string | null): UsagePaths | null {
    const matrix = this.#history?.matrices.get(courseName(counter, position))
    if (!matrix || !this.#model) return null
    const key = `${tank} ${courseName(counter, position)}`
    let paths = this.#paths.get(key)
    if (!paths) {
      paths = accumulate(this.#plan(tank), matrix, { whole: counter !== 'mounted-hours' })
      this.#paths.set(key, paths)
    }
    return paths
  }

  #plan(tank: string): UsagePlan {
    let plan = this.#plans.get(tank)
    if (!plan) {
      const { seed, windows, perDay, horizonDays, paths } = this.#options
      const row = this.#history!.tanks.indexOf(tank)
      plan = planUsage(this.#model!, {
        unit: row < 0 ? null : row,
        horizon: horizonDays ?? HORIZON_DAYS,
        seed: `${seed} ${tank}`,
        paths: paths ?? PATHS,
        ...(windows && windows.length > 0 ? { windows } : {}),
        ...(perDay === undefined ? {} : { meanPerDay: perDay }),
      })
      this.#plans.set(tank, plan)
    }
    return plan
  }

  basis(tank: string): string {
    if (!this.#model) return 'no use on record: no forecast of counts'
    const { seasons, level } = this.#model
    const own = level.unitSeasons.filter((one) => one.unit === this.#history!.tanks.indexOf(tank)).length
    const fleet = `${seasons} ${seasons === 1 ? 'season' : 'seasons'} of ${this.#history!.units} ${this.#history!.units === 1 ? 'tank' : 'tanks'}`
    const mine = own === 0 ? 'none of this tank' : `${own} of this tank`
    return seasons <= 1 || own === 0
      ? `${fleet}, ${mine}: little history, so the window is wide`
      : `${fleet}, ${mine}`
  }
}

/** Mean use over the next `days` days. */
export function meanUse({ paths, horizon, cumulative }: UsagePaths, days: number): number {
  const at = Math.min(days, horizon) - 1
  let sum = 0
  for (let p = 0; p < paths; p++) sum += cumulative[p * horizon + at]!
  return sum / paths
}
