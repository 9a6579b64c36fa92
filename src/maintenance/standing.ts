import { dayText } from './day.ts'
import { advance, type DuePoint, duePointAfter, type Rule, type Step, type Work } from './due-point.ts'
import type { Limit, WorkDone } from './limit.ts'

/** Where a limit stands on a day, before any forecast. Counts in the limit's counter; days since `from` for the calendar. */
export interface LimitStanding {
  limitAt: number
  total: number
  /** The interval it belongs to, for the planning horizon. */
  interval: number
  tolerance: number
  /** Due day of a calendar limit (day number). */
  dueDay: number | null
  sinceLast: number | null
  lastDay: number | null
  /** Limit before an extension raised it. */
  limitBefore: number | null
  /** From which point on work keeps the grid. */
  windowFrom: number
  reason: string | null
  /** What the next due point after work follows. */
  rule: Rule | null
  point: DuePoint
}

/** Cannot be computed, and why. */
export interface NoBaseline {
  noBaseline: string
  sinceLast: number | null
  lastDay: number | null
}

/** Null for a triggered task that nothing asks for. `asOf` is a day number. */
export function standingOf(limit: Limit, asOf: number): LimitStanding | NoBaseline | null {
  const last = limit.work.at(-1) ?? null
  const nothing = (reason: string): NoBaseline => ({
    noBaseline: reason,
    sinceLast: null,
    lastDay: last?.day ?? null,
  })
  if (limit.triggeredBy !== null) return triggered(limit, asOf, nothing)
  const isCalendar = limit.counter === 'days'
  const first = limit.firstStep ?? limit.step
  if (!first) return nothing('the task has neither an interval nor a threshold for this counter')
  if (!isCalendar && ('months' in first || (limit.step && 'months' in limit.step)))
    return nothing(`an interval in months needs the counter days, not ${limit.counter}`)
  return isCalendar ? calendar(limit, first, asOf, nothing) : counted(limit, first, nothing)
}

type Nothing = (reason: string) => NoBaseline

const ruleOf = (limit: Limit, first: Step): Rule => ({
  interval: limit.step ?? first,
  tolerance: limit.tolerance,
  early: limit.early,
})

function counted(limit: Limit, first: Step, nothing: Nothing): LimitStanding | NoBaseline {
  if (!limit.isCounted)
    return nothing(`${limit.kind} ${limit.item} sits at no door, so it has no door cycles`)
  if (limit.isBeforeBaseline || limit.total === null)
    return nothing('its baseline was counted after this day, and no earlier one is on record')
  const work: Work[] = []
  for (const done of limit.work) {
    const at = countOf(limit, done)
    if (at === null && done === limit.work.at(-1))
      return nothing(
        `the work of ${dayText(done.day)} lies before the baseline and no reading of ${limit.counter} is on record`,
      )
    if (at !== null) work.push({ at, isFromReading: done.count === null })
  }
  const rule = ruleOf(limit, first)
  const point = duePointAfter(rule, { from: 0, due: advance(0, first) }, work)
  const last = work.at(-1)
  return extended(limit, {
    limitAt: point.due,
    total: limit.total,
    interval: point.due - point.from,
    tolerance: limit.tolerance,
    dueDay: null,
    sinceLast: last ? limit.total - last.at : null,
    lastDay: limit.work.at(-1)?.day ?? null,
    limitBefore: null,
    windowFrom: rule.early === 'rebase' ? point.due : point.due - rule.tolerance,
    reason: point.isRebased ? rebased : null,
    rule: limit.isLifeLimit ? null : rule,
    point,
  })
}

const rebased = 'earlier work is not on record: counted from the first work that is'

/** The count at a piece of work; before the baseline, its reading where the reading is of this counter. */
export const countOf = (limit: Limit, done: WorkDone): number | null =>
  done.count ?? (limit.isRead ? done.reading : null)

function calendar(limit: Limit, first: Step, asOf: number, nothing: Nothing): LimitStanding | NoBaseline {
  const rule = ruleOf(limit, first)
  const work = limit.work.map((done) => ({ at: done.day, isFromReading: false }))
  const start = limit.zeroDay ?? work[0]?.at ?? null
  if (start === null)
    return nothing('nothing says when its days begin: no fitting, mounting, baseline or work')
  const point = duePointAfter(
    rule,
    limit.zeroDay === null
      ? { from: start, due: Number.POSITIVE_INFINITY }
      : { from: start, due: advance(start, first) },
    work,
  )
  const last = limit.work.at(-1)
  return extended(limit, {
    limitAt: point.due - point.from,
    total: asOf - point.from,
    interval: point.due - point.from,
    tolerance: limit.tolerance,
    dueDay: point.due,
    sinceLast: last ? asOf - last.day : null,
    lastDay: last?.day ?? null,
    limitBefore: null,
    windowFrom: rule.early === 'rebase' ? point.due - point.from : point.due - point.from - rule.tolerance,
    reason: point.isRebased ? rebased : null,
    rule: limit.isLifeLimit ? null : rule,
    point,
  })
}

function triggered(limit: Limit, asOf: number, nothing: Nothing): LimitStanding | NoBaseline | null {
  const { trigger, within, tolerance } = limit
  if (!trigger) return null
  const isCalendar = limit.counter === 'days'
  if (!isCalendar && !limit.isCounted)
    return nothing(`${limit.kind} ${limit.item} sits at no door, so it has no door cycles`)
  const from = isCalendar ? trigger.day : trigger.count
  if (from === null || (!isCalendar && limit.total === null))
    return nothing(`the ${limit.triggeredBy} of ${dayText(trigger.day)} lies before the baseline`)
  return extended(limit, {
    limitAt: isCalendar ? within : from + within,
    total: isCalendar ? asOf - from : limit.total!,
    interval: within,
    tolerance,
    dueDay: isCalendar ? from + within : null,
    sinceLast: null,
    lastDay: limit.work.at(-1)?.day ?? null,
    limitBefore: null,
    windowFrom: isCalendar ? within : from + within,
    reason: `after the ${limit.triggeredBy} of ${dayText(trigger.day)}`,
    rule: null,
    point: { from, due: from + within },
  })
}

/** An extension raises the limit, visibly; the tolerance stays where it was, and so does the grid of later due points. */
function extended(limit: Limit, standing: LimitStanding): LimitStanding {
  const raised = limit.extendedTo
  if (raised === null || raised <= standing.limitAt) return standing
  const until = limit.expiresDay === null ? '' : ` until ${dayText(limit.expiresDay)}`
  return {
    ...standing,
    limitAt: raised,
    limitBefore: standing.limitAt,
    tolerance: Math.max(0, standing.limitAt + standing.tolerance - raised),
    dueDay: standing.dueDay === null ? null : standing.dueDay + raised - standing.limitAt,
    reason: [standing.reason, `extended from ${plain(standing.limitAt)} by ${limit.authority}${until}`]
      .filter((text) => text !== null)
      .join('; '),
  }
}

const plain = (value: number): string => String(Math.round(value * 100) / 100)
