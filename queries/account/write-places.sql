-- The account of flights, offloads, load cycles and loads; of very many, what comes out as it was is not written again.
CREATE OR REPLACE TEMP TABLE scoped_flight AS
SELECT l.flight, f.aircraft, f.off_at, f.on_at, y.operating_day, z.season,
  greatest(epoch_us(f.on_at) - epoch_us(f.off_at), 0) / 3.6e9 AS airborne_hours, m.flight_r IS NOT NULL AS is_mission, f.tank,
  f.from_base, f.to_base
FROM stage_flight f JOIN told_flight l ON l.r = f.r
LEFT JOIN flight_share m ON m.flight_r = f.r
LEFT JOIN stage_day y ON y.kind = 'flight' AND y.r = f.r
LEFT JOIN day_season z ON z.operating_day = y.operating_day
WHERE is_touched(f.aircraft) OR is_near_tank(f.tank);
CREATE OR REPLACE TEMP TABLE same_flight AS
SELECT a.flight FROM account.flight a JOIN scoped_flight f ON f.flight = a.flight
WHERE is_much() AND a.off_at >= cut_at() AND a.off_at < end_at() AND is_kin(a.aircraft) AND hash(a) = hash(f);
DELETE FROM account.flight WHERE off_at >= cut_at() AND off_at < end_at() AND is_kin(aircraft) AND (is_touched(aircraft) OR is_near_tank(tank))
  AND flight NOT IN (FROM same_flight);
INSERT INTO account.flight FROM scoped_flight WHERE flight NOT IN (FROM same_flight);

DELETE FROM account.offload WHERE offloaded_at >= cut_at() AND offloaded_at < end_at() AND is_kin(aircraft) AND (is_touched(aircraft) OR is_near_tank(tank));
INSERT INTO account.offload
SELECT l.offload, o.aircraft, o.offloaded_at, o.tank, o.base, y.operating_day, z.season, l.volume_gal, l.fluid
FROM stage_offload o JOIN told_offload l ON l.r = o.r
LEFT JOIN stage_day y ON y.kind = 'offload' AND y.r = o.r
LEFT JOIN day_season z ON z.operating_day = y.operating_day
WHERE is_touched(o.aircraft) OR is_near_tank(o.tank);

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
CREATE OR REPLACE TEMP TABLE same_load AS
SELECT a.load FROM account.load a JOIN fresh_load f ON f.load = a.load
WHERE is_much() AND a.loaded_at >= cut_at() AND a.loaded_at < end_at() AND is_kin(a.aircraft) AND hash(a) = hash(f);
DELETE FROM account.load WHERE loaded_at >= cut_at() AND loaded_at < end_at() AND is_kin(aircraft) AND (is_touched(aircraft) OR is_near_tank(tank))
  AND load NOT IN (FROM same_load);
INSERT INTO account.load FROM fresh_load WHERE load NOT IN (FROM same_load);

DELETE FROM account.bare_cycle WHERE opened_at >= cut_at() AND opened_at < end_at() AND is_touched(aircraft);
INSERT INTO account.bare_cycle
SELECT h.holder, coalesce(l.loaded_at, make_timestamp(w.first_ms::BIGINT * 1000)), w.level_at_close_gal, w.missing_gal
FROM account.walk_cycle w JOIN holder h ON h.holder_no = w.tank_no LEFT JOIN told_load l ON l.r = w.load_row
WHERE h.tank IS NULL AND coalesce(l.loaded_at, make_timestamp(w.first_ms::BIGINT * 1000)) < end_at();

DELETE FROM account.cycle WHERE opened_at >= cut_at() AND opened_at < end_at() AND is_near_tank(tank);
INSERT INTO account.cycle
WITH walked AS (
  SELECT h.tank, w.*, l.load, l.fluid, s.aircraft, n.loaded_at AS closed_at,
    coalesce(l.loaded_at, make_timestamp(w.first_ms::BIGINT * 1000)) AS opened_at
  FROM account.walk_cycle w JOIN holder h ON h.holder_no = w.tank_no
  LEFT JOIN stage_load s ON s.r = w.load_row LEFT JOIN told_load l ON l.r = w.load_row
  LEFT JOIN told_load n ON n.r = w.closed_row
  WHERE h.tank IS NOT NULL AND coalesce(l.loaded_at, make_timestamp(w.first_ms::BIGINT * 1000)) < end_at()),
-- An inferred release happened in the last flight of the cycle in which nothing was dropped.
quiet AS (
  SELECT f.aircraft, f.off_at, f.on_at, y.operating_day
  FROM stage_flight f JOIN stage_day y ON y.kind = 'flight' AND y.r = f.r
  ANTI JOIN (SELECT DISTINCT flight_r FROM stage_drop WHERE flight_r IS NOT NULL) d ON d.flight_r = f.r),
guessed AS (
  SELECT w.load_row, arg_max({'at': q.off_at + (q.on_at - q.off_at) / 2, 'day': q.operating_day}, q.off_at) AS guess
  FROM walked w JOIN quiet q ON q.aircraft = w.aircraft AND q.off_at >= w.opened_at AND q.on_at <= w.closed_at
  WHERE w.inferred_openings > 0 GROUP BY w.load_row)
SELECT w.tank, w.load, w.opened_at, w.closed_at, w.aircraft, coalesce(y.operating_day, w.opened_at::DATE),
  coalesce(z.season, year(w.opened_at)::VARCHAR),
  w.loaded_gal, w.dropped_gal, w.offloaded_gal, w.level_before_gal, w.level_after_gal, w.level_at_close_gal,
  w.residual_gal, w.missing_gal, w.inferred_openings,
  CASE WHEN w.inferred_openings > 0 THEN coalesce(g.guess['at'], w.opened_at) END,
  CASE WHEN w.inferred_openings > 0 THEN coalesce(g.guess['day'], y.operating_day, w.opened_at::DATE) END, w.short_gal,
  CASE WHEN w.inferred_openings > 0 THEN 'unrecorded-release' WHEN w.short_gal > 0 THEN 'unrecorded-load' END, w.fluid, w.part_gal
FROM walked w LEFT JOIN guessed g ON g.load_row = w.load_row
LEFT JOIN stage_day y ON y.kind = 'load' AND y.r = w.load_row
LEFT JOIN day_season z ON z.operating_day = y.operating_day;
