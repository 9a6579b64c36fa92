-- Every load, drop and offload of the tanks in scope, numbered in the order in which the balance walks them.
-- The number stands for the row outside the database: rowids of rows not yet committed are beyond 2^53.
CREATE OR REPLACE TEMP TABLE walk_step AS
WITH step AS (
  SELECT s.tank IS NOT NULL AS is_tank, coalesce(s.tank, s.aircraft) AS holder, 0 AS step, s.r, l.load AS id, l.loaded_at AS happened_at,
    CASE WHEN l.meter_gal IS NOT NULL AND l.volume_gal = l.meter_gal
      THEN l.volume_gal / (1 + coalesce(b.applied_pct, 0) / 100) ELSE l.volume_gal END AS volume,
    l.volume_gal AS written, l.gauge_before_gal AS gauge_before, l.gauge_after_gal AS gauge_after,
    NULL::DOUBLE AS fraction, NULL::DOUBLE AS commanded, lower(l.overflow::VARCHAR) IN ('yes', 'true') AS is_overflow,
    false AS is_emergency, false AS is_ground_test, false AS is_doors_named
  FROM stage_load s JOIN told_load l ON l.r = s.r LEFT JOIN account.meter_bias b ON b.base = s.base
  UNION ALL
  SELECT s.tank IS NOT NULL, coalesce(s.tank, s.aircraft), 1, s.r, d."drop", s.dropped_at, d.volume_gal, NULL, NULL, NULL,
    d.fraction, d.commanded_gal, false, d.is_emergency_release IS TRUE OR s.purpose = 'emergency',
    s.purpose = 'ground-test', len(d.doors) > 0
  FROM stage_drop s JOIN told_drop d ON d.r = s.r
  UNION ALL
  SELECT s.tank IS NOT NULL, coalesce(s.tank, s.aircraft), 2, s.r, o.offload, s.offloaded_at, o.volume_gal, NULL, NULL, NULL,
    NULL, NULL, false, false, false, false
  FROM stage_offload s JOIN told_offload o ON o.r = s.r)
SELECT row_number() OVER (ORDER BY h.holder_no, s.happened_at, s.step, s.id) - 1 AS place, s.r,
  h.holder_no AS tank, s.step, epoch_ms(s.happened_at) AS time_ms, s.volume, s.written, s.gauge_before,
  s.gauge_after, s.fraction, s.commanded, coalesce(s.is_overflow, false) AS is_overflow, s.is_emergency, s.is_ground_test,
  coalesce(s.is_doors_named, false) AS is_doors_named
FROM step s JOIN holder h ON h.holder = s.holder AND (h.tank IS NOT NULL) = s.is_tank
ORDER BY place;
