import type { Warehouse } from '../warehouse/index.ts'
import { addMonths } from './day.ts'
import type { Window } from './forecast.ts'

/** A record longer than this names a year (as southern operators do) and plans nothing. */
const LONGEST_PLAN_DAYS = 270

/**
 * Planned seasons from `lastDay` on, as day numbers; empty when none that reaches past it is on record, and use then follows the
 * records' own season. Years after the last planned season repeat it, as far as `horizonDays` reach.
 */
export async function plannedSeasons(
  warehouse: Warehouse,
  lastDay: number,
  horizonDays: number,
): Promise<Window[]> {
  const read = await warehouse.columns(
    `SELECT starts_on - DATE '1970-01-01' AS first_day, ends_on - DATE '1970-01-01' AS last_day
     FROM obs.season WHERE fate = 'accepted' AND ends_on >= starts_on AND ends_on - starts_on < ${LONGEST_PLAN_DAYS}
     QUALIFY row_number() OVER (PARTITION BY name ORDER BY obs_no DESC) = 1 ORDER BY starts_on`,
  )
  const windows = Array.from({ length: read.count }, (_, row) => ({
    from: read.numbers('first_day')[row]!,
    to: read.numbers('last_day')[row]!,
  }))
  return repeated(windows, lastDay, horizonDays)
}

/** The windows that reach past `lastDay`, and after the last of them the same every year, as far as `horizonDays` reach. */
export function repeated(given: readonly Window[], lastDay: number, horizonDays: number): Window[] {
  const windows = given.filter((window) => window.to > lastDay)
  let last = windows.at(-1)
  while (last && last.from < lastDay + horizonDays) {
    const next: Window = { from: addMonths(last.from, 12), to: addMonths(last.to, 12) }
    if (next.from > last.to) windows.push(next)
    last = next
  }
  return windows
}
