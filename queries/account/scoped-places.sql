-- The account of each flight and load.
CREATE OR REPLACE TEMP TABLE scoped_flight AS
SELECT l.flight, f.aircraft, f.off_at, f.on_at, y.operating_day, z.season,
  greatest(epoch_us(f.on_at) - epoch_us(f.off_at), 0) / 3.6e9 AS airborne_hours, m.flight_r IS NOT NULL AS is_mission, f.tank,
  f.from_base, f.to_base
FROM stage_flight f JOIN told_flight l ON l.r = f.r
LEFT JOIN flight_share m ON m.flight_r = f.r
LEFT JOIN stage_day y ON y.kind = 'flight' AND y.r = f.r
LEFT JOIN day_season z ON z.operating_day = y.operating_day
WHERE is_touched(f.aircraft) OR is_near_tank(f.tank);

CREATE OR REPLACE TEMP TABLE scoped_load AS
WITH flown AS (
  SELECT l.r, min(f.off_at) AS first_off, max(f.on_at) AS last_on
  FROM stage_flight f ASOF JOIN stage_load l ON l.aircraft = f.aircraft AND f.off_at >= l.loaded_at GROUP BY l.r),
released AS (
  SELECT load_r AS r, min(dropped_at) AS first_drop, max(dropped_at) AS last_drop
  FROM stage_drop WHERE flight_r IS NOT NULL AND load_r IS NOT NULL GROUP BY load_r),
timed AS (
  SELECT s.*, y.operating_day, y.is_home, p.operating_day = y.operating_day AS is_same_day, w.loaded_gal AS corrected_gal, w.is_overfill
  FROM stage_load s JOIN stage_day y ON y.kind = 'load' AND y.r = s.r
  LEFT JOIN stage_day p ON p.kind = 'load' AND p.r = s.previous_r
  LEFT JOIN account.walk_cycle w ON w.load_row = s.r WHERE s.loaded_at < end_at()),
minutes AS (
  SELECT t.*, epoch_ms(t.loaded_at) AS loaded_ms, epoch_ms(t.previous_at) AS previous_ms, epoch_ms(f.first_off) AS off_ms,
    epoch_ms(f.last_on) AS on_ms, epoch_ms(r.first_drop) AS first_ms, epoch_ms(r.last_drop) AS last_ms,
    epoch_ms(l.started_at) AS started_ms, l.fluid, l.volume_gal, l.overflow,
    l.gauge_before_gal, l.gauge_after_gal, l.started_at, l.witnesses, n.volume_gal AS next_gal
  FROM timed t JOIN told_load l ON l.r = t.r LEFT JOIN told_load n ON n.r = t.next_r
  LEFT JOIN flown f ON f.r = t.previous_r LEFT JOIN released r ON r.r = t.previous_r)
SELECT m.load, m.aircraft, m.loaded_at, m.tank, m.base, m.base_basis, m.operating_day, z.season, m.corrected_gal, m.fluid,
  coalesce(m.is_overfill, false) AS is_overfill, CASE WHEN is_same_day THEN m.previous_load END AS previous_load,
  CASE WHEN is_same_day THEN (loaded_ms - previous_ms) / 60000 END AS turnaround_min,
  CASE WHEN is_same_day THEN (off_ms - previous_ms) / 60000 END AS hold_min,
  CASE WHEN is_same_day AND first_ms >= off_ms THEN (first_ms - off_ms) / 60000 END AS out_min,
  CASE WHEN is_same_day AND first_ms >= off_ms THEN (last_ms - first_ms) / 60000 END AS scene_min,
  CASE WHEN is_same_day AND on_ms >= last_ms THEN (on_ms - last_ms) / 60000 END AS back_min,
  CASE WHEN is_same_day THEN (loaded_ms - coalesce(started_ms, on_ms)) / 60000 END AS fill_min, m.is_home,
  m.volume_gal, m.overflow, m.gauge_before_gal, m.gauge_after_gal, m.started_at, m.witnesses, m.next_at, m.next_gal
FROM minutes m LEFT JOIN day_season z ON z.operating_day = m.operating_day
WHERE is_touched(m.aircraft) OR is_near_tank(m.tank);
CREATE OR REPLACE TEMP VIEW fresh_load AS
SELECT * EXCLUDE (volume_gal, overflow, gauge_before_gal, gauge_after_gal, started_at, witnesses, next_at, next_gal) FROM scoped_load;
