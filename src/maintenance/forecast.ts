import {
  type ActiveCells,
  type ActiveDays,
  accumulate,
  activeDays,
  courseOf,
  coursePassageDays,
  courseUses,
  fitUsage,
  meanCourseUse,
  onActiveDays,
  type PlanOptions,
  planActive,
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

/** The same day by day. */
export interface DailyCourse extends Course {
  /** What the futures have used by the end of a coming day (0 for the first), least first. */
  usesBy(day: number): Float64Array
  /** First coming day (day number), and how many there are. */
  from: number
  horizon: number
}

/** Where a due list takes its futures from. */
export interface Futures {
  /** Futures of one counter of a tank (and door), or null when there is no use on record to draw from. */
  course(tank: string, counter: string, position: string | null): Course | null
  /** What the futures of a tank rest on, in words. */
  basis(tank: string): string
}

/** Tanks whose futures are kept: a due list goes tank by tank, and those of a large fleet would fill the memory. */
const TANKS_KEPT = 16

/** Possible futures of each tank, drawn once and shared by all its counters, doors and components. */
export class Forecast implements Futures {
  readonly #history: FleetHistory | null
  readonly #model: UsageModel | null
  readonly #options: ForecastOptions
  readonly #kept = new Map<string, TankFutures>()
  readonly #active: ActiveDays | null
  /** By counter and door, on active days. */
  readonly #counts = new Map<string, Float64Array>()
  readonly #seasons = new Map<number, number>()

  constructor(history: FleetHistory | null, options: ForecastOptions) {
    this.#history = history
    this.#options = options
    this.#model = history && fitUsage(history, { asOf: options.lastDay + 1 })
    this.#active = history && activeDays(history.matrices.values(), history.counts.length)
    for (const { unit } of this.#model?.level.unitSeasons ?? [])
      this.#seasons.set(unit, (this.#seasons.get(unit) ?? 0) + 1)
  }

  course(tank: string, counter: string, position: string | null): DailyCourse | null {
    const name = courseName(counter, position)
    const matrix = this.#history?.matrices.get(name)
    if (!matrix || !this.#model) return null
    const futures = this.#of(tank)
    let course = futures.courses.get(name)
    if (!course) {
      futures.cells ??= planActive(this.#model, this.#plan(tank), this.#active!)
      const counts = this.#counts.get(name) ?? onActiveDays(this.#active!, matrix)
      this.#counts.set(name, counts)
      course = courseFrom(courseOf(futures.cells, counts, { whole: counter !== 'mounted-hours' }))
      futures.courses.set(name, course)
    }
    return course
  }

  /** The same futures day by day: for what is planned on a day of its own. */
  paths(tank: string, counter: string, position: string | null): UsagePaths | null {
    const matrix = this.#history?.matrices.get(courseName(counter, position))
    if (!matrix || !this.#model) return null
    const futures = this.#of(tank)
    futures.plan ??= planUsage(this.#model, this.#plan(tank))
    return accumulate(futures.plan, matrix, { whole: counter !== 'mounted-hours' })
  }

  #of(tank: string): TankFutures {
    let futures = this.#kept.get(tank)
    if (!futures) {
      futures = { cells: null, plan: null, courses: new Map() }
      this.#kept.set(tank, futures)
      for (const first of this.#kept.keys()) {
        if (this.#kept.size <= TANKS_KEPT) break
        this.#kept.delete(first)
      }
    }
    return futures
  }

  #plan(tank: string): PlanOptions {
    const { seed, windows, perDay, horizonDays, paths } = this.#options
    return {
      unit: this.#history!.rowOf.get(tank) ?? null,
      horizon: horizonDays ?? HORIZON_DAYS,
      seed: `${seed} ${tank}`,
      paths: paths ?? PATHS,
      ...(windows && windows.length > 0 ? { windows } : {}),
      ...(perDay === undefined ? {} : { meanPerDay: perDay }),
    }
  }

  basis(tank: string): string {
    if (!this.#model) return 'no use on record: no forecast of counts'
    const { seasons } = this.#model
    const own = this.#seasons.get(this.#history!.rowOf.get(tank) ?? -1) ?? 0
    const fleet = `${seasons} ${seasons === 1 ? 'season' : 'seasons'} of ${this.#history!.units} ${this.#history!.units === 1 ? 'tank' : 'tanks'}`
    const mine = own === 0 ? 'none of this tank' : `${own} of this tank`
    return seasons <= 1 || own === 0
      ? `${fleet}, ${mine}: little history, so the window is wide`
      : `${fleet}, ${mine}`
  }
}

interface TankFutures {
  cells: ActiveCells | null
  plan: UsagePlan | null
  /** By counter and door. */
  courses: Map<string, DailyCourse>
}

/** Many limits of many parts ask for the same passage, so each is found once. */
function courseFrom(course: UsageCourse): DailyCourse {
  const found = new Map<number, DueDays>()
  const uses = new Map<number, number>()
  return {
    from: course.from,
    horizon: course.horizon,
    usesBy: (day) => courseUses(course, day),
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
