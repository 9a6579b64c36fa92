import { addMonths } from './day.ts'

/** What early work does to the next due point: start anew from the work, or keep the grid when not too early. */
export type EarlyPolicy = 'rebase' | 'keep-within-tolerance'

/** A step along a counter, or along the calendar in whole months. */
export type Step = { count: number } | { months: number }

/** How the due points of one limit follow one another. Points are counts, hours, or day numbers. */
export interface Rule {
  interval: Step
  /** How far past the due point the work may still be done, ≥ 0. */
  tolerance: number
  early: EarlyPolicy
}

/** A due point and the point that its interval is counted from. */
export interface DuePoint {
  from: number
  due: number
}

/** Where work was found done, and whether only a person's reading says so (it lies before the records). */
export interface Work {
  at: number
  isFromReading: boolean
}

/** Slack for sums of hours in binary: a tenth of a second. */
export const SLACK = 3e-5

export const advance = (point: number, step: Step): number =>
  'months' in step ? addMonths(point, step.months) : point + step.count

/** The last of the points that follow one another from `first` on that is not past `end`. */
function lastPoint(step: Step, first: number, end: number): number {
  if (!('months' in step))
    return step.count > 0 ? first + step.count * Math.max(0, Math.floor((end - first) / step.count)) : first
  let from = first
  for (let next = advance(from, step); next <= end && next > from; next = advance(from, step)) from = next
  return from
}

/**
 * The due point after work at `done`.
 * - Late: the excess counts, so the next interval starts at the old due point (14 CFR 91.409(b)); where whole intervals were
 *   missed, at the last of them that had passed, so that work never leaves an item overdue.
 * - Early: the next interval starts at the work; with `keep-within-tolerance` and inside due − tolerance, at the old due point.
 */
export function nextDue(rule: Rule, { due }: DuePoint, done: number): DuePoint {
  if (done > due + SLACK) {
    const from = lastPoint(rule.interval, due, done + SLACK)
    return { from, due: advance(from, rule.interval) }
  }
  const keeps = rule.early === 'keep-within-tolerance' && done >= due - rule.tolerance - SLACK
  const from = keeps || Math.abs(done - due) <= SLACK ? due : done
  return { from, due: advance(from, rule.interval) }
}

/**
 * The due point after all work on record, oldest first. The first due point is only a guess where earlier work is not on record:
 * then the first work on record starts anew. That is so when it lies past the tolerance and before the records begin, or a whole
 * interval past the first due point.
 */
export function duePointAfter(
  rule: Rule,
  first: DuePoint,
  work: readonly Work[],
): DuePoint & { isRebased: boolean } {
  let point = first
  let isRebased = false
  work.forEach(({ at, isFromReading }, index) => {
    const isLate = at > point.due + rule.tolerance + SLACK
    const isUnknown = isFromReading || at >= advance(point.due, rule.interval) - SLACK
    if (index === 0 && isLate && isUnknown) {
      point = { from: at, due: advance(at, rule.interval) }
      isRebased = true
    } else point = nextDue(rule, point, at)
  })
  return { ...point, isRebased }
}

/** Between which points work keeps the grid: early by the tolerance (where the policy says so) to late by it. */
export function workWindow(rule: Rule, due: number): { from: number; to: number } {
  return {
    from: rule.early === 'keep-within-tolerance' ? due - rule.tolerance : due,
    to: due + rule.tolerance,
  }
}
