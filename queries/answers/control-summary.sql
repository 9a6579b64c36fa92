-- title: Control charts of setting errors, tank by tank
-- grain: one row per tank with measured settings
-- params: season, from, to, aircraft, tank
-- columns:
--   tank          tank serial number
--   drops         measured drops with a setting
--   watched       of them compared with limits: those after a run's first 30, up to its alarm
--   runs          runs between adjustments that they belong to
--   alarms        alarms
--   latest_at     latest of the drops, UTC
--   latest_pct    exponentially weighted mean of the setting error at it, %; blank while the run is too short
--   center_pct    mean of the run's stable period, %
--   stands        an alarm that no adjustment has answered
-- note: About one alarm comes by chance in 640 to 730 stable drops watched (drift-alarms says from what that was simulated); watched by
--   650 is what to expect.
WITH shown AS (
  SELECT *, bool_or(is_alarm) OVER (PARTITION BY tank, run ORDER BY dropped_at, "drop" ROWS BETWEEN UNBOUNDED PRECEDING AND 1 PRECEDING)
    AS is_past_alarm
  FROM effectiveness.control_point
  WHERE ($season IS NULL OR season = $season OR year(operating_day)::VARCHAR = $season)
    AND ($from IS NULL OR operating_day >= $from::DATE) AND ($to IS NULL OR operating_day <= $to::DATE)
    AND ($aircraft IS NULL OR aircraft = $aircraft) AND ($tank IS NULL OR tank = $tank)),
standing AS (SELECT DISTINCT tank FROM effectiveness.drift_alarm WHERE adjusted_at IS NULL)
SELECT s.tank, count(*)::INTEGER AS drops,
  (count(*) FILTER (WHERE s.ewma_pct IS NOT NULL AND NOT coalesce(s.is_past_alarm, false)))::INTEGER AS watched,
  count(DISTINCT s.run)::INTEGER AS runs, (count(*) FILTER (WHERE s.is_alarm))::INTEGER AS alarms, max(s.dropped_at) AS latest_at,
  arg_max(struct_pack(pct := s.ewma_pct), (s.dropped_at, s."drop")).pct AS latest_pct,
  arg_max(struct_pack(pct := s.center_pct), (s.dropped_at, s."drop")).pct AS center_pct,
  s.tank IN (SELECT tank FROM standing) AS stands
FROM shown s GROUP BY s.tank ORDER BY alarms > 0 DESC, stands DESC, s.tank
