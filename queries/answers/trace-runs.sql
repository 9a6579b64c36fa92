-- title: Release traces before and after adjustments
-- grain: one row per tank, setting and run between adjustments with release traces
-- params: season, from, to, aircraft, tank
-- columns:
--   tank             tank serial number
--   fraction         share of a full load asked for
--   coverage_level   coverage level set, US gal per 100 sq ft
--   run              1 from the begin of records, one more with each adjustment of the tank
--   run_from_at      the adjustment that began the run, UTC; blank for the first
--   traces           traces read, whole releases only
--   evacuation_s     mean time from start to end of flow, s
--   evacuation_sd_s  standard deviation from release to release, s
--   mean_flow_gal_s  mean flow, US gal/s
--   constancy_pct    mean constancy of flow over the middle 60 % of the time, %
--   released_of_set  mean of volume by trace over volume commanded
--   coverage_of_set  mean of coverage laid over coverage set, over the tank's stated pattern width
--   latest_at        latest of them, UTC
-- note: Means of few traces say little; evacuation_sd_s says how far single releases spread.
WITH read AS (
  SELECT d.tank, d.fraction, d.coverage_level, effectiveness.run_of(d.tank, d.dropped_at) AS run, d.dropped_at, t.evacuation_s, t.mean_flow_gal_s,
    t.constancy_pct, t.trace_gal / nullif(d.commanded_gal, 0) AS released_of_set,
    100 * t.gallons_per_ft / nullif(k.pattern_width_ft * d.coverage_level, 0) AS coverage_of_set
  FROM effectiveness.release t JOIN answers."drop" d ON d."drop" = t."drop" LEFT JOIN account.tank k ON k.tank = d.tank
  WHERE t.status = 'read' AND NOT t.is_cut AND d.tank IS NOT NULL
    AND ($season IS NULL OR d.season = $season OR year(d.operating_day)::VARCHAR = $season)
    AND ($from IS NULL OR d.operating_day >= $from::DATE) AND ($to IS NULL OR d.operating_day <= $to::DATE)
    AND ($aircraft IS NULL OR d.aircraft = $aircraft) AND ($tank IS NULL OR d.tank = $tank)),
begun AS (
  SELECT tank, adjusted_at, 1 + row_number() OVER (PARTITION BY tank ORDER BY adjusted_at) AS run
  FROM (SELECT DISTINCT tank, adjusted_at FROM obs.adjustment WHERE fate = 'accepted'))
SELECT r.tank, r.fraction, r.coverage_level, r.run, any_value(b.adjusted_at) AS run_from_at, count(*)::INTEGER AS traces,
  favg(r.evacuation_s ORDER BY r.evacuation_s) AS evacuation_s,
  CASE WHEN count(*) > 1 THEN stddev_samp(r.evacuation_s ORDER BY r.evacuation_s) END AS evacuation_sd_s,
  favg(r.mean_flow_gal_s ORDER BY r.mean_flow_gal_s) AS mean_flow_gal_s, favg(r.constancy_pct ORDER BY r.constancy_pct) AS constancy_pct,
  favg(r.released_of_set ORDER BY r.released_of_set) AS released_of_set,
  favg(r.coverage_of_set ORDER BY r.coverage_of_set) AS coverage_of_set, max(r.dropped_at) AS latest_at
FROM read r LEFT JOIN begun b ON b.tank = r.tank AND b.run = r.run
GROUP BY r.tank, r.fraction, r.coverage_level, r.run ORDER BY r.tank, r.fraction, r.coverage_level, r.run
