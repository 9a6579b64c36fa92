import { SLACK } from './due-point.ts'

/** How a limit stands, the most urgent last but one; `no-baseline` cannot be computed. */
export type Status = 'ok' | 'plan' | 'due' | 'in-tolerance' | 'overdue' | 'no-baseline'

/** The unit in which a counter is "at" its limit: a tenth of an hour, else 1. */
export const unitOf = (counter: string): number => (counter === 'mounted-hours' ? 0.1 : 1)

export interface Standing {
  /** Limit minus total, in the counter's unit. */
  remaining: number
  /** How far past the limit is still inside tolerance, ≥ 0. */
  tolerance: number
  /** Planning horizon: from here on down it is to be planned. */
  horizon: number
  unit: number
}

/** `plan` inside the horizon, `due` in the last unit before the limit, past it `in-tolerance`, beyond that `overdue`. */
export function statusOf({ remaining, tolerance, horizon, unit }: Standing): Status {
  if (remaining < -tolerance - SLACK) return 'overdue'
  if (remaining < -SLACK) return 'in-tolerance'
  if (remaining < unit - SLACK) return 'due'
  return remaining <= horizon + SLACK ? 'plan' : 'ok'
}

/** A tenth of the interval or what a fortnight is expected to use, whichever is larger. */
export const planningHorizon = (interval: number, fortnightUse: number): number =>
  Math.max(0.1 * interval, fortnightUse)
