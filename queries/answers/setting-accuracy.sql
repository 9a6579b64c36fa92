-- title: Setting accuracy
-- grain: one row per tank, coverage level and fraction
-- params: season, from, to, aircraft, tank, base, fire, fluid
-- columns:
--   tank            tank serial number
--   coverage_level  coverage level set, US gal per 100 sq ft
--   fraction        share of a full load asked for
--   drops           measured drops behind the mean
--   bias_pct        mean of (released - commanded) / commanded, %
--   low_pct         low end of its 95 % interval, %; none for one drop
--   high_pct        high end of its 95 % interval, %
--   sd_pct          standard deviation from drop to drop, %
--   is_small        fewer than 10 drops: a hint, not a finding
--   is_off          the interval leaves out zero
--   first_at        first drop, UTC
--   last_at         last drop, UTC
-- note: Volumes measured by a controller, or read from its trace, only. Left out: commands above the level in the tank, emergency releases, ground tests.
-- note: Interval by Student's t. Adjustments and drift within the days shown widen it; see control-chart and adjustment-effect.
WITH grouped AS (
  SELECT tank, coverage_level, fraction, count(*)::INTEGER AS drops, sum(error_pct::DECIMAL(38,15))::DOUBLE / count(error_pct) AS bias_pct,
    CASE WHEN count(*) > 1 THEN stddev_samp(error_pct ORDER BY error_pct) END AS sd_pct, min(dropped_at) AS first_at, max(dropped_at) AS last_at
  FROM effectiveness.settings_in($season, $from, $to, $aircraft, $tank, $base, $fire, $fluid)
  GROUP BY tank, coverage_level, fraction),
judged AS (
  SELECT *, bias_pct - effectiveness.student_975(drops - 1) * sd_pct / sqrt(drops) AS low_pct,
    bias_pct + effectiveness.student_975(drops - 1) * sd_pct / sqrt(drops) AS high_pct
  FROM grouped)
SELECT tank, coverage_level, fraction, drops, bias_pct, low_pct, high_pct, sd_pct, drops < 10 AS is_small,
  low_pct > 0 OR high_pct < 0 AS is_off, first_at, last_at
FROM judged ORDER BY tank, coverage_level, fraction
