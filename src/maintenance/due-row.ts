import { SLACK } from './due-point.ts'
import type { DueDays, Futures } from './forecast.ts'
import type { Limit } from './limit.ts'
import { type LimitStanding, type NoBaseline, standingOf } from './standing.ts'
import { planningHorizon, type Status, statusOf, unitOf } from './status.ts'

/** One line of the due list. Days are day numbers. */
export interface DueRow {
  limit: Limit
  standing: LimitStanding | null
  remaining: number | null
  /** Days at 10, 50 and 90 %; null beyond the forecast or where there is none. */
  days: DueDays
  status: Status
  governs: boolean
  horizon: number | null
  reason: string | null
  sinceLast: number | null
  lastDay: number | null
  forecastBasis: string | null
}

const FORTNIGHT = 14
const never = [null, null, null] as const

/** Every limit on a day with its status and forecast; triggered tasks that nothing asks for are left out. */
export function dueRows(limits: readonly Limit[], asOf: number, forecast: Futures): DueRow[] {
  const bases = new Map<string, string>()
  const rows: DueRow[] = []
  for (const limit of limits) {
    const standing = standingOf(limit, asOf)
    if (standing === null) continue
    if ('noBaseline' in standing) {
      rows.push(unknown(limit, standing))
      continue
    }
    const isCalendar = standing.dueDay !== null
    const course = isCalendar ? null : forecast.course(limit.tank, limit.counter, limit.position)
    const remaining = standing.limitAt - standing.total
    const fortnight = isCalendar ? FORTNIGHT : (course?.meanUse(FORTNIGHT) ?? 0)
    let days: DueDays = isCalendar ? [standing.dueDay, standing.dueDay, standing.dueDay] : never
    if (course && remaining > SLACK) days = course.passage(remaining)
    if (!isCalendar && !bases.has(limit.tank)) bases.set(limit.tank, forecast.basis(limit.tank))
    const horizon = planningHorizon(standing.interval, fortnight)
    const unit = unitOf(limit.counter)
    rows.push({
      limit,
      standing,
      remaining,
      days,
      status: statusOf({ remaining, tolerance: standing.tolerance, horizon, unit }),
      governs: false,
      horizon,
      reason: standing.reason,
      sinceLast: standing.sinceLast,
      lastDay: standing.lastDay,
      forecastBasis: isCalendar ? 'calendar' : bases.get(limit.tank)!,
    })
  }
  return rows
}

function unknown(limit: Limit, { noBaseline, sinceLast, lastDay }: NoBaseline): DueRow {
  return {
    limit,
    standing: null,
    remaining: null,
    days: never,
    status: 'no-baseline',
    governs: false,
    horizon: null,
    reason: noBaseline,
    sinceLast,
    lastDay,
    forecastBasis: null,
  }
}

/** Marks, for each task and item, the limit that comes first: earliest by its 50 % day, then its 10 % day, then the share left. */
export function markGoverning(rows: DueRow[]): void {
  const first = new Map<string, DueRow>()
  for (const row of rows) {
    const key = `${row.limit.task}\n${row.limit.item}`
    const best = first.get(key)
    if (!best || comesBefore(row, best)) first.set(key, row)
  }
  for (const row of first.values()) row.governs = true
}

function comesBefore(a: DueRow, b: DueRow): boolean {
  const keys = (row: DueRow): number[] => [
    row.standing === null ? 1 : 0,
    row.days[1] ?? Number.POSITIVE_INFINITY,
    row.days[0] ?? Number.POSITIVE_INFINITY,
    row.remaining === null ? 0 : row.remaining / Math.max(1, row.standing!.interval),
  ]
  const [left, right] = [keys(a), keys(b)]
  for (let i = 0; i < left.length; i++) if (left[i] !== right[i]) return left[i]! < right[i]!
  return false
}
