-- title: Drift alarms
-- grain: one row per alarm of a tank; at most one between two adjustments
-- params: season, from, to, aircraft, tank
-- columns:
--   tank             tank serial number
--   from_at          first drop of the run that led to the alarm, UTC
--   from_drop        that drop
--   ewma_pct         exponentially weighted mean of the setting error at the alarm, %
--   limit_pct        the limit that it crossed, %
--   alarm_at         drop at which it crossed, UTC
--   alarm_drop       that drop
--   direction        high: releases more than is set; low: less
--   center_pct       mean setting error of the stable period, %
--   sd_pct           its standard deviation from drop to drop, %
--   stable_drops     drops of the stable period
--   chart            quick (for steps) or slow (for creeping)
--   shape            step or ramp, whichever explains the drops better
--   change_at        most likely first drop of the change, UTC
--   change_drop      that drop
--   change_low_at    earliest likely first drop of the change, UTC
--   change_high_at   latest likely first drop of the change, UTC
--   change_low_drop  earliest likely first drop of the change
--   change_high_drop latest likely first drop of the change
--   adjusted_at      next adjustment of the tank, UTC; blank: the alarm stands
--   run              1 from the begin of records, one more with each adjustment
-- note: Two EWMA charts per tank compare with the run's own stable period, from its first 30 measured drops; an adjustment on record
--   begins a new run. Charts see the whole record; season, from and to choose alarms by their day.
-- note: Simulated with a noise of 3 %: a step of 3 % alarms at the 15th drop in the median, a ramp of 1 % per 20 drops at the 51st, and
--   about one false alarm comes in 640 to 730 stable drops. One wild drop cannot alarm.
SELECT tank, from_at, from_drop, ewma_pct, limit_pct, alarm_at, alarm_drop, direction, center_pct, sd_pct, stable_drops, chart,
  shape, change_at, change_drop, change_low_at, change_high_at, change_low_drop, change_high_drop, adjusted_at, run
FROM effectiveness.drift_alarm
WHERE ($season IS NULL OR season = $season OR year(operating_day)::VARCHAR = $season)
  AND ($from IS NULL OR operating_day >= $from::DATE) AND ($to IS NULL OR operating_day <= $to::DATE)
  AND ($aircraft IS NULL OR aircraft = $aircraft) AND ($tank IS NULL OR tank = $tank)
ORDER BY adjusted_at IS NOT NULL, alarm_at DESC, tank
