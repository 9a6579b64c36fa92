-- title: Due dates if
-- grain: one row per task, item and limit
-- params: tank, as_of, per_day, window, done, swap, seed
-- needs: what-if
-- columns:
--   task               task of the inspection programme
--   item               serial of the tank, or of a component fitted on that day
--   counter            counter of the limit
--   plan               what is planned for it; null when nothing is
--   now_due_on_p50     day by which it is due in 50 % of the futures without the plan
--   due_on_p50         the same with the plan
--   moved_days         days by which the 50 % day moves; above 0 it moves later
--   status             how it would stand on as_of
--   now_status         status without the plan
--   due_on_p10         day by which it would be due in 10 % of the futures
--   due_on_p90         the same for 90 %
--   limit_at           count at which it would be due; for a new part, on its own count; the middle of the futures
--   remaining          what would be left from today's count on
--   governs            true for the limit of the task that would come first
--   chance_due_before  share of the futures, 0 to 1, in which the limit of today comes before the planned day
--   now_limit_at       limit without the plan
--   now_remaining      what is left without the plan
--   now_due_on_p10     10 % day without the plan
--   now_due_on_p90     90 % day without the plan
--   reason             what explains it
--   title              title of the task
--   kind               tank, or kind of component
--   tank               tank that it is, or is fitted to
--   position           place in the tank
-- note: Nothing is written down: per_day is the expected openings a day in the season, window is the days of the coming season (2027-05-15..2027-10-10), done is work at the end of a day (DH@D-A@2026-08-15; …), swap is a new part in place of an old one (D-A@2026-08-15; …).
-- note: Along each of the simulated futures planned work is done at the count that this future has on that day, and the task's own rule for early and late work gives the next limit.
-- note: A planning aid: the approved inspection programme, the maintenance manual and licensed staff decide.
SELECT task, item, counter, plan, now_due_on_p50, due_on_p50, due_on_p50 - now_due_on_p50 AS moved_days, status, now_status,
  due_on_p10, due_on_p90, limit_at, remaining, governs, chance_due_before, now_limit_at, now_remaining, now_due_on_p10,
  now_due_on_p90, reason, title, kind, tank, position
FROM asked.due_planned
WHERE ($tank IS NULL OR tank = $tank) AND ($as_of IS NULL OR as_of = $as_of::DATE) AND seed = coalesce($seed, 1)
  AND per_day IS NOT DISTINCT FROM $per_day AND "window" IS NOT DISTINCT FROM $window AND done IS NOT DISTINCT FROM $done AND swap IS NOT DISTINCT FROM $swap
ORDER BY plan IS NULL, due_on_p50, tank, item, task, counter
