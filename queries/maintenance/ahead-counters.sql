-- Counters (and doors) of the tasks that burn-down-ahead shows: the 12 that are due soonest, or all of an item; without those that
-- are there already.
SELECT DISTINCT d.tank, d.counter, d.door
FROM (
  SELECT tank, counter, CASE WHEN counter = 'door-cycles' THEN position END AS door
  FROM asked.due WHERE governs AND counter <> 'days' AND limit_at IS NOT NULL AND ($item IS NULL OR item = $item)
  QUALIFY row_number() OVER (ORDER BY due_on_p50, item, task) <= CASE WHEN $item IS NULL THEN 12 ELSE 1000 END) d
WHERE NOT EXISTS (FROM asked.due_ahead a WHERE a.tank = d.tank AND a.counter = d.counter AND a.door IS NOT DISTINCT FROM d.door)
ORDER BY ALL;
