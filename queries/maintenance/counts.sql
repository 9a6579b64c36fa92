-- Counts of items at the moments of due_point(item, counter, happened_at, known_at).
-- Each counter of a tank or door is one rising course; an item's count is what its course rose by while it was fitted.
CREATE OR REPLACE TEMP TABLE due_course AS
SELECT tank, door, counter, happened_at, operating_day,
  sum(amount) OVER (PARTITION BY tank, door, counter ORDER BY happened_at, operating_day ROWS UNBOUNDED PRECEDING) AS reached
FROM (
  SELECT c.tank, coalesce(c.door, '') AS door, c.counter, c.happened_at, max(c.operating_day) AS operating_day,
    sum(c.amount) AS amount
  FROM account.tank_count c CROSS JOIN due_ask
  WHERE c.operating_day <= as_of AND c.counter IN (SELECT DISTINCT counter FROM due_point)
    AND c.tank IN (SELECT tank FROM account.item SEMI JOIN due_point USING (item))
  GROUP BY ALL);

CREATE OR REPLACE TEMP TABLE due_stretch AS
WITH stretch AS (
  SELECT i.item, c.counter, i.tank, CASE WHEN c.counter = 'door-cycles' THEN i.position ELSE '' END AS door,
    coalesce(i.on_at, TIMESTAMP '-infinity') AS on_at, coalesce(i.off_at, TIMESTAMP 'infinity') AS off_at
  FROM (SELECT DISTINCT item, counter FROM due_point) c JOIN account.item i ON i.item = c.item)
SELECT s.*, coalesce(a.reached, 0) AS reached_on, coalesce(b.reached, 0) AS reached_off
FROM (SELECT * FROM stretch WHERE door IS NOT NULL) s
ASOF LEFT JOIN due_course a ON a.tank = s.tank AND a.door = s.door AND a.counter = s.counter AND s.on_at > a.happened_at
ASOF LEFT JOIN due_course b ON b.tank = s.tank AND b.door = s.door AND b.counter = s.counter AND s.off_at > b.happened_at;

CREATE OR REPLACE TEMP TABLE due_count AS
WITH based AS (
  SELECT p.item, p.counter, p.happened_at, b.value, b.counted_at
  FROM due_point p ASOF LEFT JOIN account.baseline b
    ON b.item = p.item AND b.counter = p.counter AND p.known_at >= b.counted_at),
piece AS (
  -- An ASOF join takes a missing time for a late one, so times are never missing here.
  SELECT p.item, p.counter, p.happened_at, p.value, p.counted_at, coalesce(p.counted_at, TIMESTAMP '-infinity') AS base_at, s.tank, s.door, s.reached_on, s.reached_off
  FROM based p LEFT JOIN due_stretch s ON s.item = p.item AND s.counter = p.counter),
risen AS (
  SELECT p.*, greatest(0, least(p.reached_off, coalesce(n.reached, 0)) - greatest(p.reached_on, coalesce(z.reached, 0))) AS rise
  FROM piece p
  ASOF LEFT JOIN due_course n ON n.tank = p.tank AND n.door = p.door AND n.counter = p.counter AND p.happened_at >= n.happened_at
  ASOF LEFT JOIN due_course z ON z.tank = p.tank AND z.door = p.door AND z.counter = p.counter AND p.base_at >= z.happened_at)
SELECT r.item, r.counter, r.happened_at, coalesce(any_value(r.value), 0) + coalesce(sum(r.rise), 0) AS count,
  any_value(r.counted_at) IS NULL AND coalesce(bool_or(b.item IS NOT NULL), false) AS is_before_baseline
FROM risen r LEFT JOIN (SELECT DISTINCT item, counter FROM account.baseline) b ON b.item = r.item AND b.counter = r.counter
GROUP BY r.item, r.counter, r.happened_at;
