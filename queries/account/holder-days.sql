-- Operating days of the aircraft and tanks in scope as they stand; all days before `asked_from` are one.
-- Aircraft whose fluid has no tank on record lately: their balance is kept for the aircraft.
CREATE OR REPLACE TEMP TABLE bare_aircraft AS
WITH late AS (
  SELECT aircraft, loaded_at AS moment FROM ledger.load SEMI JOIN scope_touched USING (aircraft) WHERE loaded_at >= (SELECT day FROM asked_from)
  UNION ALL SELECT aircraft, dropped_at FROM ledger."drop" SEMI JOIN scope_touched USING (aircraft) WHERE dropped_at >= (SELECT day FROM asked_from)
  UNION ALL SELECT aircraft, offloaded_at FROM ledger.offload SEMI JOIN scope_touched USING (aircraft) WHERE offloaded_at >= (SELECT day FROM asked_from))
SELECT DISTINCT e.aircraft FROM late e
LEFT JOIN account.mounting m ON m.aircraft = e.aircraft AND e.moment >= m.on_at AND (m.off_at IS NULL OR e.moment < m.off_at)
WHERE m.tank IS NULL;

CREATE OR REPLACE TEMP TABLE holder_day AS
WITH event AS (
  SELECT aircraft, tank, operating_day, season, loaded_at AS moment, loaded_at AS ends_at, 0 AS step FROM account.load
  UNION ALL SELECT aircraft, tank, operating_day, season, dropped_at, dropped_at, 1 FROM account."drop"
  UNION ALL SELECT aircraft, tank, operating_day, season, offloaded_at, offloaded_at, 2 FROM account.offload
  UNION ALL SELECT aircraft, tank, operating_day, season, off_at, on_at, 3 FROM account.flight),
near AS (SELECT * FROM event WHERE is_near_aircraft(aircraft) OR is_near_tank(tank)),
held AS (
  SELECT 'aircraft' AS kind, aircraft AS holder, * FROM near SEMI JOIN scope_aircraft USING (aircraft)
  UNION ALL SELECT 'tank', tank, * FROM near SEMI JOIN scope_tank USING (tank)
  UNION ALL SELECT 'bare', aircraft, * FROM near SEMI JOIN bare_aircraft USING (aircraft) WHERE tank IS NULL AND step < 3)
SELECT kind, holder, season, greatest(operating_day, f.day) AS day,
  min(moment) AS first_at, max(ends_at) AS last_at,
  min({'moment': moment, 'step': step}) FILTER (step < 3)['step'] AS first_step,
  max(moment) FILTER (step = 0 AND moment < f.changed_at) AS last_load_at,
  bool_or(moment < f.changed_at) AS has_earlier, bool_or(step = 0) AS has_load, bool_or(step = 3) AS has_flight,
  kind <> 'aircraft' OR holder IN (FROM scope_touched) AS is_changed
FROM held CROSS JOIN asked_from f GROUP BY ALL;
