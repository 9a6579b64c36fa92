import {
  type ActiveCells,
  accumulate,
  activeCells,
  courseOf,
  coursePassageDays,
  fitUsage,
  meanCourseUse,
  planUsage,
  type UsageCourse,
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

/** Days looked ahead: into the next season as far as this one has got. */
export const HORIZON_DAYS = 420
const PATHS = 200

export type DueDays = readonly [number | null, number | null, number | null]

/** Futures of one counter. */
export interface Course {
  /** Day numbers by which 10, 50 and 90 % of the futures have used so much; null beyond the horizon. */
  passage(limit: number): DueDays
  /** Mean use over the next so many days. */
  meanUse(days: number): number
}

/** Where a due list takes its futures from. */
export interface Futures {
  /** Futures of one counter of a tank (and door), or null when there is no use on record to draw from. */
  course(tank: string, counter: string, position: string | null): Course | null
  /** What the futures of a tank rest on, in words. */
  basis(tank: string): string
}

/** Possible futures of each tank, drawn once and shared by all its counters, doors and components. */
export class Forecast implements Futures {
  readonly #history: FleetHistory | null
  readonly #model: UsageModel | null
  readonly #options: ForecastOptions
  readonly #plans = new Map<string, UsagePlan>()
  readonly #active = new Map<string, ActiveCells>()
  readonly #courses = new Map<string, Course>()
  readonly #isActive: Uint8Array

  constructor(history: FleetHistory | null, options: ForecastOptions) {
    this.#history = history
    this.#options = options
    this.#model = history && fitUsage(history, { asOf: options.lastDay + 1 })
    this.#isActive = history ? daysOfUse(history) : new Uint8Array()
  }

  course(tank: string, counter: string, position: string | null): Course | null {
    const name = courseName(counter, position)
    const matrix = this.#history?.matrices.get(name)
    if (!matrix || !this.#model) return null
    const key = `${tank} ${name}`
    let course = this.#courses.get(key)
    if (!course) {
      course = courseFrom(courseOf(this.#cells(tank), matrix, { whole: counter !== 'mounted-hours' }))
      this.#courses.set(key, course)
    }
    return course
  }

  /** The same futures day by day: for what is planned on a day of its own. */
  paths(tank: string, counter: string, position: string | null): UsagePaths | null {
    const matrix = this.#history?.matrices.get(courseName(counter, position))
    if (!matrix || !this.#model) return null
    return accumulate(this.#plan(tank), matrix, { whole: counter !== 'mounted-hours' })
  }

  #cells(tank: string): ActiveCells {
    let cells = this.#active.get(tank)
    if (!cells) {
      cells = activeCells(this.#plan(tank), this.#isActive)
      this.#active.set(tank, cells)
    }
    return cells
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

/** Which days of the history have use of any counter. */
function daysOfUse({ units, days, matrices }: FleetHistory): Uint8Array {
  const isActive = new Uint8Array(units * days)
  for (const matrix of matrices.values())
    for (let at = 0; at < isActive.length; at++) if (matrix[at]! > 0) isActive[at] = 1
  return isActive
}

/** Many limits of many parts ask for the same passage, so each is found once. */
function courseFrom(course: UsageCourse): Course {
  const found = new Map<number, DueDays>()
  const uses = new Map<number, number>()
  return {
    passage(limit) {
      let days = found.get(limit)
      if (!days) {
        days = coursePassageDays(course, limit) as unknown as DueDays
        found.set(limit, days)
      }
      return days
    },
    meanUse(days) {
      let use = uses.get(days)
      if (use === undefined) {
        use = meanCourseUse(course, days)
        uses.set(days, use)
      }
      return use
    },
  }
}
