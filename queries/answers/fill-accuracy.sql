-- title: Fill accuracy
-- grain: one row per base and tank; by=base or by=tank gathers
-- params: season, from, to, aircraft, tank, base, fluid, by
-- columns:
--   base            base code, or unknown
--   tank            tank serial number
--   loads           loads
--   with_target     of them with a target on record
--   bias_pct        mean of (loaded - target) / target, %
--   low_pct         low end of its 95 % interval, %
--   high_pct        high end of its 95 % interval, %
--   sd_pct          standard deviation from load to load, %
--   mean_error_gal  mean of loaded - target, US gal
--   overflows       loads marked as overflowed, or above what the tank holds
--   overflow_rate   of all loads
--   overflow_low    low end of its 95 % interval
--   overflow_high   high end of its 95 % interval
--   gauged          loads with a target whose volume the tank's gauge saw
--   is_small        fewer than 10 loads with a target: a hint, not a finding
--   base_name       base name
-- note: Loaded is what the tank's gauge saw, else the ticket corrected for its base's meter.
-- note: Mean interval by Student's t, overflow rate by Wilson; a rate of nothing is blank.
WITH loaded AS (
  SELECT CASE WHEN coalesce($by, 'both') IN ('base', 'both') THEN coalesce(base, 'unknown') END AS base, base_name,
    CASE WHEN coalesce($by, 'both') IN ('tank', 'both') THEN tank END AS tank,
    CASE WHEN $by IS NOT NULL AND $by NOT IN ('base', 'tank', 'both')
      THEN error('there are no groups by ' || $by || left(load, 0) || '; take base, tank or both') END AS refused,
    coalesce(gauge_gal, corrected_gal, volume_gal) AS loaded_gal, target_gal, gauge_gal,
    is_overfill OR lower(overflow::VARCHAR) IN ('yes', 'true') AS is_overflow
  FROM answers.loads_in($season, $from, $to, $aircraft, $tank, $base, $fluid)),
grouped AS (
  SELECT base, tank, count(*)::INTEGER AS loads,
    (count(*) FILTER (WHERE target_gal > 0 AND loaded_gal IS NOT NULL))::INTEGER AS with_target,
    favg(100 * (loaded_gal - target_gal) / target_gal
      ORDER BY 100 * (loaded_gal - target_gal) / target_gal) FILTER (WHERE target_gal > 0) AS bias_pct,
    stddev_samp(100 * (loaded_gal - target_gal) / target_gal
      ORDER BY 100 * (loaded_gal - target_gal) / target_gal) FILTER (WHERE target_gal > 0) AS sd_pct,
    favg(loaded_gal - target_gal ORDER BY loaded_gal - target_gal) FILTER (WHERE target_gal > 0) AS mean_error_gal,
    (count(*) FILTER (WHERE is_overflow))::INTEGER AS overflows,
    (count(*) FILTER (WHERE target_gal > 0 AND gauge_gal IS NOT NULL))::INTEGER AS gauged,
    CASE WHEN base IS NOT NULL THEN any_value(base_name) END AS base_name, any_value(refused) AS refused
  FROM loaded GROUP BY base, tank)
SELECT base, tank, loads, with_target, bias_pct,
  bias_pct - effectiveness.student_975(with_target - 1) * sd_pct / sqrt(with_target) AS low_pct,
  bias_pct + effectiveness.student_975(with_target - 1) * sd_pct / sqrt(with_target) AS high_pct, sd_pct, mean_error_gal, overflows,
  overflows / nullif(loads, 0) AS overflow_rate, effectiveness.wilson_low(overflows, loads) AS overflow_low,
  effectiveness.wilson_high(overflows, loads) AS overflow_high, gauged, with_target < 10 AS is_small, base_name
FROM grouped WHERE refused IS NULL ORDER BY base, tank
