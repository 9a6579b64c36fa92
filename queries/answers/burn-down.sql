-- title: Burn-down towards the nearest limits
-- grain: one row per limit and day on which its count moved, for the eight limits that come first
-- params: tank, as_of
-- needs: due
-- columns:
--   item        serial of the tank, or of the component
--   task        task of the inspection programme
--   counter     counter of the limit
--   day         operating day
--   total       count at the end of that day
--   limit_at    count at which it is due
--   due_on_p10  day by which it is due in 10 % of the futures
--   due_on_p50  the same for 50 %
--   due_on_p90  the same for 90 %
--   status      where it stands
--   place       1 for the limit that comes first
-- note: A planning aid: the approved inspection programme, the maintenance manual and licensed staff decide.
-- note: Limits in days are left out: they run down by themselves. Counts since the last accomplishment are shown, or all where there is none.
WITH nearest AS (
  SELECT *, row_number() OVER (ORDER BY due_on_p50, item, task) AS place FROM asked.due
  WHERE ($tank IS NULL OR tank = $tank) AND ($as_of IS NULL OR as_of = $as_of::DATE) AND governs AND counter <> 'days'
    AND limit_at IS NOT NULL AND due_on_p50 IS NOT NULL
  QUALIFY row_number() OVER (ORDER BY due_on_p50, item, task) <= 8),
moved AS (
  SELECT n.place, c.operating_day AS day, sum(c.amount) AS amount
  FROM nearest n JOIN account.item_count c ON c.item = n.item AND c.counter = n.counter AND c.operating_day <= n.as_of
  GROUP BY n.place, c.operating_day),
counted AS (
  SELECT place, day, sum(amount) OVER (PARTITION BY place ORDER BY day) AS total FROM moved)
SELECT n.item, n.task, n.counter, c.day, c.total, n.limit_at, n.due_on_p10, n.due_on_p50, n.due_on_p90, n.status, n.place::INTEGER AS place
FROM nearest n JOIN counted c ON c.place = n.place
WHERE n.last_done_on IS NULL OR c.day >= n.last_done_on
ORDER BY n.place, c.day
