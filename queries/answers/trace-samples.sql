-- title: Samples of release traces
-- grain: one row per sample of a trace
-- params: season, from, to, aircraft, tank, drop, latest:number
-- columns:
--   drop            drop
--   tank            tank serial number
--   t_s             seconds from the start of flow
--   level_gal       level in the tank, US gal
--   released_gal    fallen from the fitted level before, US gal
--   run             1 from the begin of records, one more with each adjustment of the tank
--   coverage_level  coverage level set, US gal per 100 sq ft
--   fraction        share of a full load asked for
--   dropped_at      when, UTC
--   door_pct        doors open, %
--   record_s        seconds of the record
--   trace           number of the trace
--   evacuation_s    from start to end of flow by the fitted curve, s
-- note: The latest 6 traces of each tank and run, or as many as latest says, so that before and after an adjustment lie over one
--   another. drop chooses one.
WITH shown AS (
  SELECT t.*, d.tank, d.coverage_level, d.fraction, d.dropped_at, effectiveness.run_of(d.tank, d.dropped_at) AS run
  FROM effectiveness.release t JOIN answers."drop" d ON d."drop" = t."drop"
  WHERE ($season IS NULL OR d.season = $season OR year(d.operating_day)::VARCHAR = $season)
    AND ($from IS NULL OR d.operating_day >= $from::DATE) AND ($to IS NULL OR d.operating_day <= $to::DATE)
    AND ($aircraft IS NULL OR d.aircraft = $aircraft) AND ($tank IS NULL OR d.tank = $tank)
    AND ($drop IS NULL OR d."drop" = $drop) AND t.status = 'read'
  QUALIFY row_number() OVER (PARTITION BY d.tank, effectiveness.run_of(d.tank, d.dropped_at) ORDER BY d.dropped_at DESC, t.trace)
    <= coalesce($latest, 6))
SELECT s."drop", s.tank, round(o.t_s - s.starts_s, 3) AS t_s, o.level_gal, s.level_before_gal - o.level_gal AS released_gal, s.run,
  s.coverage_level, s.fraction, s.dropped_at, o.door_pct, o.t_s AS record_s, s.trace, s.evacuation_s
FROM shown s JOIN obs.trace o ON o.aircraft = s.aircraft AND o.record = s.record AND o.fate = 'accepted'
  AND o.obs_no BETWEEN s.trace AND s.last_obs_no
ORDER BY s.tank, s.run, s.dropped_at, s.trace, o.t_s
