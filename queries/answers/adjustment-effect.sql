-- title: Effect of adjustments
-- grain: one row per adjustment of a tank
-- params: season, from, to, tank
-- columns:
--   tank             tank serial number
--   adjusted_at      when, UTC
--   subject          a door position, doors, or control
--   before           setting before
--   after            setting after
--   drops_before     measured drops before
--   bias_before_pct  mean setting error before, %
--   drops_after      measured drops after, up to the next adjustment
--   bias_after_pct   mean setting error after, %
--   change_pct       after minus before, percentage points
--   low_pct          low end of its 95 % interval
--   high_pct         high end of its 95 % interval
--   verdict          closer to the setting, further from the setting, no difference shown, or too few drops (under 10 on a side)
--   before_basis     which drops stand for before
--   before_from_at   first of them, UTC
--   sd_before_pct    standard deviation from drop to drop before, %
--   sd_after_pct     standard deviation from drop to drop after, %
--   note             note on the adjustment
-- note: Interval of the difference of two means by Welch's t.
SELECT tank, adjusted_at, subject, "before", "after", drops_before, bias_before_pct, drops_after, bias_after_pct, change_pct, low_pct,
  high_pct, verdict, before_basis, before_from_at, sd_before_pct, sd_after_pct, note
FROM effectiveness.adjustment
WHERE ($season IS NULL OR year(adjusted_at)::VARCHAR = $season OR adjusted_at::DATE BETWEEN
    (SELECT min(starts_on) FROM obs.season WHERE fate = 'accepted' AND name = $season)
    AND (SELECT max(ends_on) FROM obs.season WHERE fate = 'accepted' AND name = $season))
  AND ($from IS NULL OR adjusted_at::DATE >= $from::DATE) AND ($to IS NULL OR adjusted_at::DATE <= $to::DATE)
  AND ($tank IS NULL OR tank = $tank)
ORDER BY adjusted_at DESC, tank
