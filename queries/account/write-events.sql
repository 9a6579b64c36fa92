-- Writes the account of drops, flights, offloads, loads and load cycles, but for what comes out as it was.
DELETE FROM account."drop" WHERE dropped_at >= cut_at() AND dropped_at < end_at() AND is_kin(aircraft) AND (is_touched(aircraft) OR is_near_tank(tank))
  AND NOT is_same_drop("drop");
INSERT INTO account."drop" FROM fresh_drop WHERE NOT is_same_drop("drop");

DELETE FROM account.flight WHERE off_at >= cut_at() AND off_at < end_at() AND is_kin(aircraft) AND (is_touched(aircraft) OR is_near_tank(tank))
  AND NOT is_same_flight(flight);
INSERT INTO account.flight FROM scoped_flight WHERE NOT is_same_flight(flight);

DELETE FROM account.offload WHERE offloaded_at >= cut_at() AND offloaded_at < end_at() AND is_kin(aircraft) AND (is_touched(aircraft) OR is_near_tank(tank));
INSERT INTO account.offload
SELECT l.offload, o.aircraft, o.offloaded_at, o.tank, o.base, y.operating_day, z.season, l.volume_gal, l.fluid
FROM stage_offload o JOIN told_offload l ON l.r = o.r
LEFT JOIN stage_day y ON y.kind = 'offload' AND y.r = o.r
LEFT JOIN day_season z ON z.operating_day = y.operating_day
WHERE is_touched(o.aircraft) OR is_near_tank(o.tank);

DELETE FROM account.load WHERE loaded_at >= cut_at() AND loaded_at < end_at() AND is_kin(aircraft) AND (is_touched(aircraft) OR is_near_tank(tank))
  AND NOT is_same_load(load);
INSERT INTO account.load FROM fresh_load WHERE NOT is_same_load(load);

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
