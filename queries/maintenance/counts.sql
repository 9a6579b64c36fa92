-- Counts of items at the moments of due_point(item, counter, happened_at, known_at).
-- Each counter of a tank or door is one rising course; an item's count is what its course rose by while it was fitted. Courses are
-- wanted at a few moments only (now, at work, where a part came or went), so events are summed between these; hours as whole
-- microseconds, so that the order of adding does not matter.
CREATE OR REPLACE TEMP TABLE due_moment AS
WITH place AS (
  SELECT DISTINCT i.item, i.tank, i.on_at, i.off_at FROM account.item i SEMI JOIN due_point p ON p.item = i.item)
SELECT DISTINCT tank, moment FROM (
  SELECT tank, unnest([TIMESTAMP '-infinity', TIMESTAMP 'infinity', on_at, off_at]) AS moment FROM place
  UNION ALL
  SELECT l.tank, p.happened_at FROM due_point p JOIN place l ON l.item = p.item
  UNION ALL
  SELECT l.tank, b.counted_at FROM account.baseline b JOIN place l ON l.item = b.item)
WHERE moment IS NOT NULL;

-- Numbers for tanks and sets of doors: every event is put in order, and names are slow to order.
CREATE OR REPLACE TEMP TABLE due_tank AS
SELECT tank, row_number() OVER (ORDER BY tank)::INTEGER AS tank_no FROM (SELECT DISTINCT tank FROM due_moment);
CREATE OR REPLACE TEMP TABLE due_mark AS
SELECT t.tank_no, m.moment FROM due_moment m JOIN due_tank t ON t.tank = m.tank;
CREATE OR REPLACE TEMP TABLE due_doors AS
SELECT doors, row_number() OVER ()::INTEGER AS doors_no FROM (SELECT DISTINCT doors FROM account.opening WHERE doors IS NOT NULL);

-- What was counted at a moment of the tank (is_at), or after it and before the next.
CREATE OR REPLACE TEMP TABLE due_between AS
WITH opening AS (
  SELECT t.tank_no, d.doors_no, o.happened_at, o.openings, o.is_retardant, o.is_emergency_release
  FROM account.opening o JOIN due_tank t ON t.tank = o.tank CROSS JOIN due_ask LEFT JOIN due_doors d ON d.doors = o.doors
  WHERE o.operating_day <= as_of AND o.happened_at IS NOT NULL),
opened AS MATERIALIZED (
  SELECT o.tank_no, m.moment, o.happened_at = m.moment AS is_at, o.doors_no, sum(o.openings) AS openings,
    sum(o.openings) FILTER (o.is_retardant) AS retardant, count(*) FILTER (o.is_emergency_release) AS emergency
  FROM opening o ASOF JOIN due_mark m ON m.tank_no = o.tank_no AND o.happened_at >= m.moment GROUP BY ALL),
wanted AS (SELECT list(DISTINCT counter) AS counters FROM due_point),
other AS (
  SELECT t.tank_no, 0 AS counter_no, o.loaded_at AS happened_at, 1 AS amount
  FROM account.load o JOIN due_tank t ON t.tank = o.tank CROSS JOIN due_ask
  WHERE o.operating_day <= as_of AND o.loaded_at IS NOT NULL AND (SELECT list_contains(counters, 'fills') FROM wanted)
  UNION ALL
  SELECT t.tank_no, 1, o.on_at, 1 FROM account.mounting o JOIN due_tank t ON t.tank = o.tank CROSS JOIN due_ask
  WHERE o.on_at::DATE <= as_of
  UNION ALL
  SELECT t.tank_no, 2, o.off_at, round(o.airborne_hours * 3.6e9)::BIGINT
  FROM account.flight o JOIN due_tank t ON t.tank = o.tank CROSS JOIN due_ask
  WHERE o.operating_day <= as_of AND o.off_at IS NOT NULL AND (SELECT list_contains(counters, 'mounted-hours') FROM wanted)),
part AS (
  SELECT tank_no, '' AS door, 'openings' AS counter, moment, is_at, openings::DOUBLE AS amount FROM opened
  UNION ALL
  SELECT tank_no, '', 'retardant-openings', moment, is_at, retardant FROM opened WHERE retardant IS NOT NULL
  UNION ALL
  SELECT tank_no, '', 'emergency-releases', moment, is_at, emergency FROM opened WHERE emergency > 0
  UNION ALL
  SELECT o.tank_no, unnest(coalesce(d.doors, list_transform(range(1, k.doors + 1), lambda n: 'door-' || n))), 'door-cycles',
    o.moment, o.is_at, o.openings
  FROM opened o JOIN due_tank t ON t.tank_no = o.tank_no JOIN account.tank k ON k.tank = t.tank
  LEFT JOIN due_doors d ON d.doors_no = o.doors_no
  UNION ALL
  SELECT o.tank_no, '', ['fills', 'mountings', 'mounted-hours'][1 + any_value(o.counter_no)], m.moment,
    o.happened_at = m.moment AS is_at, sum(o.amount)
  FROM other o ASOF JOIN due_mark m ON m.tank_no = o.tank_no AND o.happened_at >= m.moment
  GROUP BY o.tank_no, o.counter_no, m.moment, is_at)
SELECT t.tank, p.door, p.counter, p.moment, p.is_at, sum(p.amount) AS amount
FROM part p JOIN due_tank t ON t.tank_no = p.tank_no GROUP BY ALL;

-- What a course has reached before a moment, and with what happened at it.
CREATE OR REPLACE TEMP TABLE due_course AS
WITH known AS (
  SELECT c.tank, c.door, c.counter, m.moment, b.at_it, b.after_it
  FROM (SELECT DISTINCT tank, door, counter FROM due_between) c JOIN due_moment m ON m.tank = c.tank
  LEFT JOIN (
    SELECT tank, door, counter, moment, coalesce(sum(amount) FILTER (is_at), 0) AS at_it, coalesce(sum(amount) FILTER (NOT is_at), 0) AS after_it
    FROM due_between GROUP BY ALL) b
    ON b.tank = c.tank AND b.door = c.door AND b.counter = c.counter AND b.moment = m.moment)
SELECT tank, door, counter, moment, reached_before, reached_before + coalesce(at_it, 0) AS reached
FROM (
  SELECT *, coalesce(sum(coalesce(at_it, 0) + coalesce(after_it, 0)) OVER (
    PARTITION BY tank, door, counter ORDER BY moment ROWS BETWEEN UNBOUNDED PRECEDING AND 1 PRECEDING), 0) AS reached_before
  FROM known);

CREATE OR REPLACE TEMP TABLE due_stretch AS
WITH stretch AS (
  SELECT i.item, c.counter, i.tank, CASE WHEN c.counter = 'door-cycles' THEN i.position ELSE '' END AS door,
    coalesce(i.on_at, TIMESTAMP '-infinity') AS on_at, coalesce(i.off_at, TIMESTAMP 'infinity') AS off_at
  FROM (SELECT DISTINCT item, counter FROM due_point) c JOIN account.item i ON i.item = c.item)
SELECT s.*, coalesce(a.reached_before, 0) AS reached_on, coalesce(b.reached_before, 0) AS reached_off
FROM (SELECT * FROM stretch WHERE door IS NOT NULL) s
LEFT JOIN due_course a ON a.tank = s.tank AND a.door = s.door AND a.counter = s.counter AND a.moment = s.on_at
LEFT JOIN due_course b ON b.tank = s.tank AND b.door = s.door AND b.counter = s.counter AND b.moment = s.off_at;

CREATE OR REPLACE TEMP TABLE due_count AS
WITH based AS (
  SELECT p.item, p.counter, p.happened_at, b.value, b.counted_at
  FROM due_point p ASOF LEFT JOIN account.baseline b
    ON b.item = p.item AND b.counter = p.counter AND p.known_at >= b.counted_at),
piece AS (
  SELECT p.item, p.counter, p.happened_at, p.value, p.counted_at, coalesce(p.counted_at, TIMESTAMP '-infinity') AS base_at, s.tank, s.door, s.reached_on, s.reached_off
  FROM based p LEFT JOIN due_stretch s ON s.item = p.item AND s.counter = p.counter),
risen AS (
  SELECT p.*, greatest(0, least(p.reached_off, coalesce(n.reached, 0)) - greatest(p.reached_on, coalesce(z.reached, 0))) AS rise
  FROM piece p
  LEFT JOIN due_course n ON n.tank = p.tank AND n.door = p.door AND n.counter = p.counter AND n.moment = p.happened_at
  LEFT JOIN due_course z ON z.tank = p.tank AND z.door = p.door AND z.counter = p.counter AND z.moment = p.base_at)
SELECT r.item, r.counter, r.happened_at, coalesce(any_value(r.value), 0)
    + coalesce(sum(r.rise), 0) / CASE WHEN r.counter = 'mounted-hours' THEN 3.6e9 ELSE 1 END AS count,
  any_value(r.counted_at) IS NULL AND coalesce(bool_or(b.item IS NOT NULL), false) AS is_before_baseline
FROM risen r LEFT JOIN (SELECT DISTINCT item, counter FROM account.baseline) b ON b.item = r.item AND b.counter = r.counter
GROUP BY r.item, r.counter, r.happened_at;
