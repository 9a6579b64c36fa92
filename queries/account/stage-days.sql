-- Operating day and season of every event: the local date where it was loaded, else where the aircraft last was known
-- to be, else the home zone.
CREATE OR REPLACE TEMP TABLE stage_zone AS
WITH event AS (
  SELECT 'drop' AS kind, s.r, s.aircraft, s.dropped_at AS happened_at,
    CASE WHEN s.is_other_tank OR s.is_elsewhere THEN NULL ELSE s.load_base END AS base FROM stage_drop s
  UNION ALL SELECT 'load', r, aircraft, loaded_at, base FROM stage_load
  UNION ALL SELECT 'flight', r, aircraft, off_at, from_base FROM stage_flight
  UNION ALL SELECT 'offload', r, aircraft, offloaded_at, base FROM stage_offload),
homeless AS (SELECT * FROM event WHERE base IS NULL OR base NOT IN (SELECT base FROM base_zone)),
found AS (
  SELECT h.kind, h.r, h.happened_at, k.base FROM homeless h
  ASOF LEFT JOIN known_base k ON k.aircraft = h.aircraft AND h.happened_at >= k.known_at)
SELECT e.kind, e.r, e.happened_at, z.zone, false AS is_home FROM event e JOIN base_zone z ON z.base = e.base
UNION ALL
SELECT f.kind, f.r, f.happened_at, coalesce(z.zone, (SELECT zone FROM home_zone), 'UTC'), z.zone IS NULL
FROM found f LEFT JOIN base_zone z ON z.base = f.base;

CREATE OR REPLACE TEMP TABLE zone_hour AS
SELECT zone, hour, timezone(zone, timezone('UTC', hour)) - hour AS shift
FROM (SELECT DISTINCT zone, date_trunc('hour', happened_at) AS hour FROM stage_zone);

CREATE OR REPLACE TEMP TABLE stage_day AS
SELECT z.kind, z.r, (z.happened_at + h.shift)::DATE AS operating_day, z.zone, z.is_home
FROM stage_zone z JOIN zone_hour h ON h.zone = z.zone AND h.hour = date_trunc('hour', z.happened_at);

CREATE OR REPLACE TEMP TABLE day_season AS
SELECT operating_day, coalesce(min(s.name), year(operating_day)::VARCHAR) AS season
FROM (SELECT DISTINCT operating_day FROM stage_day) d
LEFT JOIN season s ON d.operating_day BETWEEN s.starts_on AND s.ends_on GROUP BY operating_day;
