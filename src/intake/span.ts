import type { Span } from '../kinds/index.ts'
import type { Plan } from './plan.ts'

/** What is wrong with a row whose span is, beside the places of columns (see `quarantineTroubled`). */
export const beforeStart = 101
export const tooLong = 102

/** The two ends of a record, with their places among the plan's columns. */
export interface SpanOf {
  readonly span: Span
  readonly from: number
  readonly to: number
}

/** Null when the kind has no span, or the profile does not give both its ends. */
export function spanOf(plan: Plan): SpanOf | null {
  const { span } = plan.kind
  if (!span) return null
  const [from, to] = [span.from, span.to].map((name) =>
    plan.columns.findIndex((one) => one.column.name === name && one.text !== null),
  ) as [number, number]
  return from < 0 || to < 0 ? null : { span, from, to }
}

/** SQL cases of a row whose second time is before its first, or too long after it. */
export function spanTrouble({ span }: SpanOf): string {
  const [from, to] = [`v_${span.from}`, `v_${span.to}`]
  const long = span.longest_s
    ? ` WHEN ${to} > ${from} + INTERVAL ${span.longest_s} SECOND THEN ${tooLong}`
    : ''
  return ` WHEN ${to} < ${from} THEN ${beforeStart}${long}`
}

/** The same of a record that lasts so many seconds; null: nothing is wrong. */
export function troubleOfSpan({ longest_s }: Span, seconds: number): number | null {
  if (seconds < 0) return beforeStart
  return longest_s !== undefined && seconds > longest_s ? tooLong : null
}

/** True when both ends are read from one date cell and a time of day each: then a second time before the first is the next day's. */
export function isOneDate(plan: Plan, { span, from, to }: SpanOf): boolean {
  if (span.longest_s === undefined) return false
  const [first, second] = [from, to].map((place) => plan.columns[place]!.field?.from ?? [])
  return first!.length > 1 && second!.length > 1 && first!.some((name) => second!.includes(name))
}

/** SQL: the typed rows, with a second time that comes before the first on the day after. */
export function overMidnight({ span }: SpanOf): string {
  const [from, to] = [`v_${span.from}`, `v_${span.to}`]
  return `SELECT * REPLACE (CASE WHEN ${to} < ${from} THEN ${to} + INTERVAL 1 DAY ELSE ${to} END AS ${to}) FROM typed`
}

/** The reason of a row in quarantine, for people. */
export function spanReason(span: Span, trouble: number): string {
  if (trouble === beforeStart)
    return `${span.to} is before ${span.from}: one of the two is wrong, or past midnight and has the day before`
  return `${span.to} is more than ${span.longest_s! / 3600} h after ${span.from}: one of the two has a wrong date`
}
