import { quantile, shareReached, type UsagePaths } from '../statistics/index.ts'
import { dayText } from './day.ts'
import { advance, type DuePoint, nextDue, type Rule } from './due-point.ts'
import type { DueRow } from './due-row.ts'
import type { Course, Forecast } from './forecast.ts'
import { planningHorizon, statusOf, unitOf } from './status.ts'

/** A line of the due list as it would be once planned work is done or a part replaced. */
export interface PlannedRow {
  row: DueRow
  /** What is planned for it, in words; null when nothing is. */
  plan: string | null
  /** Share of the futures in which the limit comes before the planned day; null without a forecast. */
  chanceBefore: number | null
}

/** What happens to an item on a day: work on its task, or a new part in its place. */
export interface Step {
  kind: 'done' | 'swap'
  /** Day number. */
  day: number
}

/**
 * The row after the step. Days in the past are taken as today's; `row` is as of `asOf`. Along each possible future the work is done
 * at the count that this future has on that day, so an early or late step moves later due points as the task's rule says.
 */
export function plannedRow(row: DueRow, step: Step, asOf: number, futures: Forecast): PlannedRow {
  const { limit, standing } = row
  const day = Math.max(step.day, asOf)
  const plan = step.kind === 'done' ? `done on ${dayText(step.day)}` : `new part on ${dayText(step.day)}`
  if (step.kind === 'done' && limit.isLifeLimit)
    return { row, plan: `${plan}: a life limit does not reset`, chanceBefore: null }
  if (limit.triggeredBy !== null) {
    return {
      row: { ...row, ...settled, reason: `${plan}: nothing asks for it any more` },
      plan,
      chanceBefore: null,
    }
  }
  const first = limit.firstStep ?? limit.step
  const interval = limit.step ?? first
  if (!first || !interval) return { row, plan, chanceBefore: null }
  const rule: Rule = standing?.rule ?? { interval, tolerance: limit.tolerance, early: limit.early }
  const after = (point: DuePoint | null, at: number): DuePoint =>
    step.kind === 'swap'
      ? { from: at, due: advance(at, first) }
      : point
        ? nextDue(rule, point, at)
        : { from: at, due: advance(at, interval) }
  if (limit.counter === 'days') {
    const point = after(standing?.point ?? null, day)
    const chance = standing?.dueDay == null ? null : standing.dueDay < day ? 1 : 0
    return { row: calendarRow(row, point, asOf, step), plan, chanceBefore: chance }
  }
  const course = futures.course(limit.tank, limit.counter, limit.position)
  const total = standing?.total ?? limit.total
  const paths = futures.paths(limit.tank, limit.counter, limit.position)
  if (total === null || 'months' in first) return { row, plan, chanceBefore: null }
  return {
    row: countedRow(row, {
      total,
      paths,
      course,
      day,
      asOf,
      step,
      after: (at) => after(standing?.point ?? null, at),
    }),
    plan,
    chanceBefore: chanceBefore(row, paths, day, asOf),
  }
}

const settled = { days: [null, null, null], status: 'ok', remaining: null, standing: null } as const

function chanceBefore(row: DueRow, paths: UsagePaths | null, day: number, asOf: number): number | null {
  if (row.remaining === null) return null
  if (row.remaining <= 0) return 1
  if (!paths || day <= asOf + 1) return day <= asOf + 1 ? 0 : null
  return shareReached(paths, row.remaining, Math.min(day - asOf - 2, paths.horizon - 1))
}

function calendarRow(row: DueRow, point: DuePoint, asOf: number, step: Step): DueRow {
  const interval = point.due - point.from
  const remaining = point.due - asOf
  const horizon = planningHorizon(interval, 14)
  return {
    ...row,
    standing: standingAfter(row, point, { limitAt: interval, total: asOf - point.from, dueDay: point.due }),
    remaining,
    days: [point.due, point.due, point.due],
    horizon,
    status: statusOf({ remaining, tolerance: row.limit.tolerance, horizon, unit: 1 }),
    reason: null,
    sinceLast: null,
    lastDay: step.kind === 'done' ? step.day : null,
  }
}

interface Counted {
  total: number
  paths: UsagePaths | null
  course: Course | null
  day: number
  asOf: number
  step: Step
  after: (at: number) => DuePoint
}

function countedRow(row: DueRow, { total, paths, course, day, asOf, step, after }: Counted): DueRow {
  const ahead = day - asOf
  const count = paths?.paths ?? 1
  const points: DuePoint[] = []
  const days = new Float64Array(count)
  for (let p = 0; p < count; p++) {
    const course = paths?.cumulative.subarray(p * paths.horizon, (p + 1) * paths.horizon)
    const at = total + (course && ahead > 0 ? course[Math.min(ahead, course.length) - 1]! : 0)
    const point = after(at)
    points.push(point)
    const reached = course ? course.findIndex((use, d) => d >= ahead && total + use >= point.due) : -1
    days[p] = reached < 0 ? Number.POSITIVE_INFINITY : paths!.from + reached
  }
  const middle = (pick: (point: DuePoint) => number): number => quantile(points.map(pick), 0.5)!
  const point = { from: middle((one) => one.from), due: middle((one) => one.due) }
  days.sort()
  const atLevel = (level: number): number | null => {
    const found = days[Math.max(0, Math.ceil(level * count - 1e-9) - 1)]!
    return Number.isFinite(found) ? found : null
  }
  const base = step.kind === 'swap' ? point.from : 0
  const remaining = point.due - total
  const horizon = planningHorizon(point.due - point.from, course?.meanUse(14) ?? 0)
  return {
    ...row,
    standing: standingAfter(row, point, {
      limitAt: point.due - base,
      total: step.kind === 'swap' ? 0 : total,
      dueDay: null,
    }),
    remaining,
    days: [atLevel(0.1), atLevel(0.5), atLevel(0.9)],
    horizon,
    status: statusOf({ remaining, tolerance: row.limit.tolerance, horizon, unit: unitOf(row.limit.counter) }),
    reason: null,
    sinceLast: null,
    lastDay: step.kind === 'done' ? step.day : null,
  }
}

function standingAfter(
  row: DueRow,
  point: DuePoint,
  now: { limitAt: number; total: number; dueDay: number | null },
): NonNullable<DueRow['standing']> {
  return {
    ...now,
    interval: point.due - point.from,
    tolerance: row.limit.tolerance,
    sinceLast: null,
    lastDay: null,
    limitBefore: null,
    windowFrom: now.limitAt,
    reason: null,
    rule: null,
    point,
  }
}
