-- title: Burn-down to the next limits
-- grain: one row per task on an item and day with use
-- params: tank, as_of, seed, item
-- needs: due
-- columns:
--   item        serial of the tank or component
--   task        task of the inspection programme
--   counter     counter of the limit that comes first
--   day         operating day
--   total       count by the end of that day
--   limit_at    count at which it is due
--   due_on_p10  day by which it is due in 10 % of the futures
--   due_on_p50  the same for 50 %
--   due_on_p90  the same for 90 %
--   status      ok, plan, due, in-tolerance or overdue
--   tank        tank that it is, or is fitted to
-- note: A planning aid: the approved inspection programme, the maintenance manual and licensed staff decide.
-- note: Counted limits only, of the 12 tasks that are due soonest unless item names one; the last 400 days.
WITH asked AS (SELECT coalesce($as_of::DATE, current_date) AS as_of),
chosen AS (
  SELECT d.item, d.task, d.counter, d.limit_at, d.due_on_p10, d.due_on_p50, d.due_on_p90, d.status, d.tank, d.total AS total_now
  FROM asked.due d CROSS JOIN asked a
  WHERE d.governs AND d.counter <> 'days' AND d.limit_at IS NOT NULL AND d.as_of = a.as_of AND d.seed = coalesce($seed, 1)
    AND ($tank IS NULL OR d.tank = $tank) AND ($item IS NULL OR d.item = $item)
  QUALIFY row_number() OVER (ORDER BY d.due_on_p50, d.item, d.task) <= CASE WHEN $item IS NULL THEN 12 ELSE 1000 END),
used AS (
  SELECT e.item, e.counter, e.operating_day AS day, sum(e.amount::DECIMAL(38,15))::DOUBLE AS amount
  FROM account.item_event e CROSS JOIN asked a
  WHERE e.operating_day <= a.as_of AND e.operating_day > a.as_of - 400
    AND EXISTS (FROM chosen c WHERE c.item = e.item AND c.counter = e.counter)
  GROUP BY ALL)
-- Counted backwards from today's total, so that the line ends where the due list stands.
SELECT c.item, c.task, c.counter, u.day,
  c.total_now - coalesce(sum(u.amount) OVER (PARTITION BY c.item, c.task ORDER BY u.day DESC ROWS BETWEEN UNBOUNDED PRECEDING AND 1 PRECEDING), 0) AS total,
  c.limit_at, c.due_on_p10, c.due_on_p50, c.due_on_p90, c.status, c.tank
FROM chosen c JOIN used u ON u.item = c.item AND u.counter = c.counter
ORDER BY c.due_on_p50, c.item, c.task, u.day
