-- Operating days of the aircraft and tanks in scope as they stand, before `asked_until()`; all days before `asked_day()` are one. Of
-- what is older than three days before it (an operating day is never that far from the moment in UTC) only `older_event` is told.
WITH near AS (
  SELECT aircraft, tank, operating_day, season, loaded_at AS moment, loaded_at AS ends_at, 0 AS step FROM account.load
  WHERE loaded_at >= asked_day() - INTERVAL 3 DAY AND loaded_at < asked_until() AND is_kin(aircraft)
  UNION ALL SELECT aircraft, tank, operating_day, season, dropped_at, dropped_at, 1 FROM account."drop"
  WHERE dropped_at >= asked_day() - INTERVAL 3 DAY AND dropped_at < asked_until() AND is_kin(aircraft)
  UNION ALL SELECT aircraft, tank, operating_day, season, offloaded_at, offloaded_at, 2 FROM account.offload
  WHERE offloaded_at >= asked_day() - INTERVAL 3 DAY AND offloaded_at < asked_until() AND is_kin(aircraft)
  UNION ALL SELECT aircraft, tank, operating_day, season, off_at, on_at, 3 FROM account.flight
  WHERE (off_at >= asked_day() - INTERVAL 3 DAY OR on_at >= asked_day() - INTERVAL 3 DAY) AND off_at < asked_until()
    AND is_kin(aircraft)
  UNION ALL SELECT aircraft, tank, NULL, season, NULL, NULL, step FROM older_event),
-- Aircraft whose fluid has no tank on record, of what stands or may be new: their balance is kept for the aircraft.
bare AS (
  SELECT aircraft FROM near WHERE tank IS NULL AND step < 3 AND moment >= asked_day()
  UNION SELECT s.aircraft FROM scope_touched s ANTI JOIN account.mounting m
    ON m.aircraft = s.aircraft AND m.on_at <= changed_at() AND (m.off_at IS NULL OR m.off_at >= changed_until())),
held AS (
  SELECT 'aircraft' AS kind, aircraft AS holder, * FROM near WHERE is_near_aircraft(aircraft)
  UNION ALL SELECT 'tank', tank, * FROM near WHERE is_near_tank(tank)
  UNION ALL SELECT 'bare', aircraft, * FROM near WHERE is_touched(aircraft) AND aircraft IN (FROM bare) AND tank IS NULL AND step < 3)
SELECT kind, holder, season, greatest(operating_day, asked_day())::VARCHAR AS day,
  epoch_ms(min(moment)) AS first_ms, epoch_ms(max(ends_at)) AS last_ms,
  min({'moment': moment, 'step': step}) FILTER (step < 3 AND moment IS NOT NULL)['step'] AS first_step,
  epoch_ms(max(moment) FILTER (step = 0 AND moment < changed_at())) AS last_load_ms,
  bool_or(moment IS NULL OR moment < changed_at()) AS has_earlier, bool_or(step = 0) AS has_load, bool_or(step = 3) AS has_flight,
  kind <> 'aircraft' OR is_touched(holder) AS is_changed
FROM held GROUP BY ALL ORDER BY kind, holder, day, season;
