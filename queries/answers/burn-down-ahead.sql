-- title: Burn-down ahead
-- grain: one row per task on an item and coming day, every fourth
-- params: tank, as_of, seed, item
-- needs: ahead
-- columns:
--   item         serial of the tank or component
--   task         task of the inspection programme
--   counter      counter of the limit that comes first
--   day          coming day
--   left_low     what is left to the limit by then in 10 % of the futures, or less; never below 0
--   left_middle  the same in 50 %
--   left_high    the same in 90 %
--   limit_at     count at which it is due
--   tank         tank that it is, or is fitted to
-- note: A planning aid: the approved inspection programme, the maintenance manual and licensed staff decide.
-- note: What the fan of burn-down is drawn from; the same tasks and the same futures.
WITH asked AS (SELECT coalesce($as_of::DATE, current_date) AS as_of),
chosen AS (
  SELECT d.item, d.task, d.counter, d.position, d.limit_at, d.total, d.tank, d.due_on_p50
  FROM asked.due d CROSS JOIN asked a
  WHERE d.governs AND d.counter <> 'days' AND d.limit_at IS NOT NULL AND d.as_of = a.as_of AND d.seed = coalesce($seed, 1)
    AND ($tank IS NULL OR d.tank = $tank) AND ($item IS NULL OR d.item = $item)
  QUALIFY row_number() OVER (ORDER BY d.due_on_p50, d.item, d.task) <= CASE WHEN $item IS NULL THEN 12 ELSE 1000 END)
SELECT c.item, c.task, c.counter, u.day, greatest(0, c.limit_at - c.total - u.used_p90) AS left_low,
  greatest(0, c.limit_at - c.total - u.used_p50) AS left_middle, greatest(0, c.limit_at - c.total - u.used_p10) AS left_high,
  c.limit_at, c.tank
FROM chosen c JOIN asked.due_ahead u ON u.tank = c.tank AND u.counter = c.counter
  AND (c.counter <> 'door-cycles' OR u.door = c.position)
WHERE c.limit_at > c.total
ORDER BY c.due_on_p50, c.item, c.task, u.day
