-- Where each flight, load and offload took place, and the operating day of each.
CREATE OR REPLACE TEMP TABLE stage_flight AS
SELECT f.r, f.aircraft, f.off_at, f.on_at, a.base AS from_base, b.base AS to_base,
  m.tank,
  lag(f.r) OVER earlier_flights AS previous_r, lag(f.off_at) OVER earlier_flights AS previous_off, lag(f.on_at) OVER earlier_flights AS previous_on
FROM told_flight f
LEFT JOIN account.mounting m ON m.aircraft = f.aircraft AND f.off_at >= m.on_at AND (m.off_at IS NULL OR f.off_at < m.off_at)
LEFT JOIN account.base_name a ON a.text = f.from_base_text
LEFT JOIN account.base_name b ON b.text = f.to_base_text
WINDOW earlier_flights AS (PARTITION BY f.aircraft ORDER BY f.off_at, f.flight);

-- A load whose ticket nobody has was filled where the aircraft stood: where it flew from next, or landed last.
CREATE OR REPLACE TEMP TABLE stage_load AS
WITH placed AS (
  SELECT l.r, l.load, l.aircraft, l.loaded_at, l.base_text, b.base AS stated,
    m.tank
  FROM told_load l
  LEFT JOIN account.mounting m ON m.aircraft = l.aircraft AND l.loaded_at >= m.on_at AND (m.off_at IS NULL OR l.loaded_at < m.off_at)
  LEFT JOIN account.base_name b ON b.text = l.base_text),
homeless AS (SELECT r, aircraft, loaded_at FROM placed WHERE base_text IS NULL),
flown AS (
  SELECT h.*, CASE WHEN n.off_at <= h.loaded_at + INTERVAL 6 HOUR THEN n.from_base END AS next_from
  FROM homeless h ASOF LEFT JOIN (SELECT * FROM stage_flight SEMI JOIN homeless USING (aircraft)) n
    ON n.aircraft = h.aircraft AND h.loaded_at <= n.off_at),
landed AS (
  SELECT f.r, f.next_from, CASE WHEN e.on_at >= f.loaded_at - INTERVAL 6 HOUR THEN e.to_base END AS last_to
  FROM flown f ASOF LEFT JOIN (SELECT * FROM stage_flight SEMI JOIN homeless USING (aircraft)) e
    ON e.aircraft = f.aircraft AND f.loaded_at >= e.on_at)
SELECT p.r, load, aircraft, loaded_at, tank,
  CASE WHEN base_text IS NOT NULL THEN stated ELSE coalesce(next_from, last_to) END AS base,
  CASE WHEN stated IS NOT NULL THEN 'stated' WHEN base_text IS NULL AND coalesce(next_from, last_to) IS NOT NULL THEN 'flight'
    ELSE 'unknown' END AS base_basis,
  lag(load) OVER earlier_loads AS previous_load, lag(p.r) OVER earlier_loads AS previous_r, lag(loaded_at) OVER earlier_loads AS previous_at,
  lead(p.r) OVER earlier_loads AS next_r, lead(loaded_at) OVER earlier_loads AS next_at
FROM placed p LEFT JOIN landed l ON l.r = p.r WINDOW earlier_loads AS (PARTITION BY aircraft ORDER BY loaded_at, load);

CREATE OR REPLACE TEMP TABLE stage_offload AS
SELECT o.r, o.aircraft, o.offloaded_at, b.base,
  m.tank
FROM told_offload o
LEFT JOIN account.mounting m ON m.aircraft = o.aircraft AND o.offloaded_at >= m.on_at AND (m.off_at IS NULL OR o.offloaded_at < m.off_at)
LEFT JOIN account.base_name b ON b.text = o.base_text;

CREATE OR REPLACE TEMP TABLE known_base AS
SELECT aircraft, known_at, max(base) AS base FROM (
  SELECT aircraft, loaded_at AS known_at, base FROM stage_load
  UNION ALL SELECT aircraft, offloaded_at, base FROM stage_offload
  UNION ALL SELECT aircraft, off_at, from_base FROM stage_flight
  UNION ALL SELECT aircraft, on_at, to_base FROM stage_flight
  UNION ALL FROM base_before)
WHERE base IS NOT NULL GROUP BY aircraft, known_at;

-- A landing at another base than the last load's: what is dropped after it came from a load that is missing here.
CREATE OR REPLACE TEMP TABLE landing_elsewhere AS
SELECT l.r AS load_r, min(f.on_at) AS on_at
FROM (SELECT * FROM stage_flight WHERE to_base IS NOT NULL) f
ASOF JOIN stage_load l ON l.aircraft = f.aircraft AND f.on_at >= l.loaded_at
WHERE l.base IS NOT NULL AND f.to_base <> l.base GROUP BY l.r;
