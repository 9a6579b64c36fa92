-- title: Control chart of setting errors
-- grain: one row per measured drop with a setting
-- params: season, from, to, aircraft, tank
-- columns:
--   tank         tank serial number
--   run          1 from the begin of records, one more with each adjustment
--   drop         drop
--   dropped_at   when, UTC
--   error_pct    (released - commanded) / commanded, %
--   ewma_pct     exponentially weighted mean of the run, wild values held in, %; blank while the run has fewer than 31 drops
--   upper_pct    upper limit, %
--   lower_pct    lower limit, %
--   center_pct   mean of the run's stable period, %
--   is_alarm     the drop at which the mean crossed a limit
--   limit_pct    distance of either limit from the center, %
--   is_run_start first drop after an adjustment
--   is_change    most likely first drop of the change behind the alarm
-- note: Limits come from the stable period of the run itself. Where the slow chart alarmed, its mean and limits are shown, else those of the quick chart.
SELECT p.tank, p.run, p."drop", p.dropped_at, p.error_pct, p.ewma_pct, p.upper_pct, p.lower_pct, p.center_pct, p.is_alarm,
  (p.upper_pct - p.lower_pct) / 2 AS limit_pct,
  p.run_started_at IS NOT NULL AND row_number() OVER (PARTITION BY p.tank, p.run ORDER BY p.dropped_at, p."drop") = 1 AS is_run_start,
  coalesce(p."drop" = a.change_drop, false) AS is_change
FROM effectiveness.control_point p LEFT JOIN effectiveness.drift_alarm a ON a.tank = p.tank AND a.run = p.run
WHERE ($season IS NULL OR p.season = $season OR year(p.operating_day)::VARCHAR = $season)
  AND ($from IS NULL OR p.operating_day >= $from::DATE) AND ($to IS NULL OR p.operating_day <= $to::DATE)
  AND ($aircraft IS NULL OR p.aircraft = $aircraft) AND ($tank IS NULL OR p.tank = $tank)
ORDER BY p.tank, p.dropped_at, p."drop"
