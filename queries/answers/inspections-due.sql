-- title: Inspections due
-- grain: one row per task, item and limit
-- params: tank, as_of, seed:number
-- needs: due
-- columns:
--   task                    task of the inspection programme
--   item                    serial of the tank, or of a component fitted on that day
--   counter                 counter of the limit; mounted-hours in h, days in days, all others a count
--   limit_at                count at which it is due; for days, days since the starting point
--   total                   count by that day: baseline + counted + inferred; for days, days since the starting point
--   remaining               limit_at minus total; below 0 it is past
--   due_on_p10              day by which it is due in 10 % of the futures; the day that reached it, once reached
--   due_on_p50              the same for 50 %; null where that lies more than 420 days ahead
--   due_on_p90              the same for 90 %
--   status                  ok, plan, due, in-tolerance, overdue, or no-baseline (see reason)
--   governs                 true for the limit of the task that comes first
--   since_last              count since the last accomplishment; null without one
--   counted_through         last day on which all expected witnesses reported on the tank
--   reason                  why it cannot be computed, what triggered it, or what changed the limit
--   title                   title of the task
--   kind                    tank, or kind of component
--   tank                    tank that it is, or is fitted to
--   position                place in the tank
--   tolerance_at            count up to which the work is still inside tolerance
--   window_from             count from which on early work keeps the grid; limit_at unless the task says so
--   horizon                 planning horizon: 10 % of the interval or what 14 days are expected to use
--   last_done_on            day of the last accomplishment
--   is_life_limit           true for a limit that never resets
--   triggered_by            event that asked for it
--   trigger_evidence        the drop or load of that event
--   limit_before_extension  the limit that an extension raised
--   extension               authority of the extension
--   forecast_basis          the history that the days are drawn from
-- note: A planning aid: the approved inspection programme, the maintenance manual and licensed staff decide.
-- note: Days at 10, 50 and 90 % come from 200 simulated futures made of real days of this fleet; the same seed gives the same days.
-- note: as_of DAY includes every event whose operating day is DAY or earlier; the default is today.
SELECT task, item, counter, limit_at, total, remaining, due_on_p10, due_on_p50, due_on_p90, status, governs, since_last,
  counted_through, reason, title, kind, tank, position, tolerance_at, window_from, horizon, last_done_on, is_life_limit,
  triggered_by, trigger_evidence, limit_before_extension, extension, forecast_basis
FROM asked.due
WHERE ($tank IS NULL OR tank = $tank) AND ($as_of IS NULL OR as_of = $as_of::DATE) AND seed = coalesce($seed, 1)
ORDER BY CASE status WHEN 'overdue' THEN 0 WHEN 'in-tolerance' THEN 1 WHEN 'due' THEN 2 WHEN 'plan' THEN 3
  WHEN 'no-baseline' THEN 4 ELSE 5 END, due_on_p50, tank, item, task, counter
