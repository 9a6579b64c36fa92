import {
  activeDays,
  courseOf,
  coursePassages,
  courseUseByDay,
  fitUsage,
  intervalCredit,
  onActiveDays,
  passageDaysAt,
  pinballLoss,
  planActive,
  type UsageCourse,
} from '../statistics/index.ts'
import type { FleetHistory } from './history.ts'

export const HORIZONS = [14, 30, 60] as const
const LEVELS = [0.1, 0.5, 0.9] as const

/** What a replay found at one horizon. Losses are sums over forecasts, in days, each the mean over the three levels. */
export interface Tally {
  forecasts: number
  /** Sum of the credits of the 10–90 % windows. */
  inside: number
  before: number
  after: number
  censored: number
  loss: number
  straightLoss: number
}

export interface ReplayOptions {
  /** First and last forecast day, and the last day that is known (day numbers). */
  firstDay: number
  lastDay: number
  /** Days between forecasts. */
  every: number
  /** Names of the matrices whose limits are forecast. */
  courses: readonly string[]
  /** Rows of the tanks that are forecast. */
  units: readonly number[]
  paths: number
  seed: number
}

/**
 * Goes through a season as it was: on each forecast day only earlier days are known; for every tank and counter a limit is set where
 * the forecast has its 50 % day, `horizon` days ahead, and the day that really reached it is compared with the 10–90 % window. A
 * limit that was not reached by `lastDay` is censored there: it earns the chance that the forecast itself gave to its lying inside.
 */
export function replaySeason(history: FleetHistory, options: ReplayOptions): Map<number, Tally> {
  const tallies = new Map<number, Tally>(
    HORIZONS.map((days) => [
      days,
      { forecasts: 0, inside: 0, before: 0, after: 0, censored: 0, loss: 0, straightLoss: 0 },
    ]),
  )
  const { firstDay, lastDay, every, units, seed, paths } = options
  const matrices = options.courses.flatMap((name) => {
    const matrix = history.matrices.get(name)
    return matrix ? [{ matrix, whole: name !== 'mounted-hours' }] : []
  })
  const active = activeDays(
    matrices.map(({ matrix }) => matrix),
    history.counts.length,
  )
  const counts = matrices.map(({ matrix }) => onActiveDays(active, matrix))
  for (let day = firstDay; day + HORIZONS[0] < lastDay; day += every) {
    const model = fitUsage(history, { asOf: day })
    if (!model) continue
    const left = lastDay + 1 - day
    for (const unit of units) {
      const cells = planActive(
        model,
        { unit, horizon: left + 200, seed: `${seed} ${day} ${unit}`, paths },
        active,
      )
      for (const [at, { matrix, whole }] of matrices.entries()) {
        const future = courseOf(cells, counts[at]!, { whole })
        const row = matrix.subarray(unit * history.days, (unit + 1) * history.days)
        for (const days of HORIZONS)
          if (days < left) score(tallies.get(days)!, { future, row, at: day - history.firstDay, left, days })
      }
    }
  }
  return tallies
}

interface Forecast {
  future: UsageCourse
  /** Use of the tank by day, and where in it the forecast stands. */
  row: Float64Array
  at: number
  /** Days that are known from there on. */
  left: number
  days: number
}

function score(tally: Tally, { future, row, at, left, days }: Forecast): void {
  const limit = courseUseByDay(future, days - 1, [0.5])[0]!
  if (!(limit > 0)) return
  const passages = coursePassages(future, limit)
  const [low, middle, high] = passageDaysAt(future, passages, LEVELS).map((day) =>
    day === null ? null : day - future.from,
  ) as [number | null, number | null, number | null]
  const actual = reachedAfter(row, at, left, limit)
  let byEnd = 0
  while (byEnd < passages.length && passages[byEnd]! < left) byEnd++
  const shareByEnd = byEnd / passages.length
  tally.forecasts += 1
  tally.inside += intervalCredit(actual, { low, high, shareByEnd })
  tally.before += actual !== null && actual < (low ?? left) ? 1 : 0
  tally.after += (actual ?? left) > (high ?? left) ? 1 : 0
  tally.censored += actual === null ? 1 : 0
  const held = (day: number | null): number => Math.min(day ?? left, left)
  const straight = straightLine(row, at, limit)
  const forecast = [low, middle, high]
  LEVELS.forEach((level, i) => {
    tally.loss += pinballLoss(held(actual), held(forecast[i]!), level) / LEVELS.length
    tally.straightLoss += pinballLoss(held(actual), held(straight), level) / LEVELS.length
  })
}

/** Days until the limit was really reached; null when it was not in the days that are known. */
function reachedAfter(row: Float64Array, at: number, left: number, limit: number): number | null {
  let total = 0
  for (let day = 0; day < left; day++) {
    total += row[at + day]! || 0
    if (total >= limit) return day
  }
  return null
}

/** Days until the limit at the mean rate of the last 30 days, or of the last year when those were idle; null without any use. */
function straightLine(row: Float64Array, at: number, limit: number): number | null {
  for (const span of [30, 365]) {
    const days = row.subarray(Math.max(0, at - span), at).filter((use) => !Number.isNaN(use))
    const rate = days.reduce((sum, use) => sum + use, 0) / days.length
    if (rate > 0) return limit / rate
  }
  return null
}
