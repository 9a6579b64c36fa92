-- Whether what comes after the end begins with what it began with as the account stands: what each tank, or aircraft without
-- one, held after its last cycle; where each aircraft last was; and whether the end is a night between operating days still.
WITH fresh_cycle AS (
  SELECT w.tank_no, w.level_at_close_gal, w.missing_gal, s.aircraft, coalesce(s.loaded_at, make_timestamp(w.first_ms::BIGINT * 1000)) AS opened_at
  FROM account.walk_cycle w LEFT JOIN stage_load s ON s.r = w.load_row),
fresh_last AS (
  SELECT tank_no, max(opened_at) AS opened_at, max_by(level_at_close_gal, opened_at) AS closing_gal,
    max_by(missing_gal, opened_at) AS missing_gal, max_by(aircraft, opened_at) AS aircraft
  FROM fresh_cycle WHERE opened_at < end_at() GROUP BY tank_no),
stood_cycle AS (
  SELECT tank, tank AS holder, opened_at, level_at_close_gal, missing_gal FROM account.cycle
  WHERE is_near_tank(tank) AND opened_at >= cut_at() AND opened_at < end_at()
  UNION ALL SELECT NULL, aircraft, opened_at, level_at_close_gal, missing_gal FROM account.bare_cycle
  WHERE is_touched(aircraft) AND opened_at >= cut_at() AND opened_at < end_at()),
stood_last AS (
  SELECT tank, holder, max(opened_at) AS opened_at, max_by(level_at_close_gal, opened_at) AS closing_gal,
    max_by(missing_gal, opened_at) AS missing_gal
  FROM stood_cycle GROUP BY tank, holder),
fresh_lost AS (
  SELECT s.tank, coalesce(s.tank, s.aircraft) AS holder, max(s.dropped_at) AS dropped_at
  FROM stage_drop s JOIN told_drop d ON d.r = s.r LEFT JOIN account.walk_drop w ON w.row_no = s.r
  WHERE d.volume_gal IS NULL AND w.volume_gal IS NULL AND s.purpose <> 'ground-test' GROUP BY s.tank, coalesce(s.tank, s.aircraft)),
stood_lost AS (
  SELECT tank, coalesce(tank, aircraft) AS holder, max(dropped_at) AS dropped_at FROM account."drop"
  WHERE dropped_at >= cut_at() AND dropped_at < end_at() AND is_kin(aircraft) AND volume_gal IS NULL AND purpose <> 'ground-test'
  GROUP BY tank, coalesce(tank, aircraft)),
other_level AS (
  SELECT h.holder
  FROM holder h LEFT JOIN fresh_last f ON f.tank_no = h.holder_no
  LEFT JOIN stood_last s ON s.holder = h.holder AND s.tank IS NOT DISTINCT FROM h.tank
  LEFT JOIN fresh_lost u ON u.holder = h.holder AND u.tank IS NOT DISTINCT FROM h.tank
  LEFT JOIN stood_lost v ON v.holder = h.holder AND v.tank IS NOT DISTINCT FROM h.tank
  LEFT JOIN (SELECT tank, arg_min(aircraft, loaded_at) AS aircraft FROM stage_load WHERE loaded_at >= end_at() AND tank IS NOT NULL GROUP BY tank) n ON n.tank = h.tank
  WHERE CASE WHEN f.opened_at IS NULL THEN (h.closing_gal, h.missing_gal, h.is_unknown)
      ELSE (f.closing_gal, f.missing_gal, coalesce(u.dropped_at >= f.opened_at, false)) END
    IS DISTINCT FROM CASE WHEN s.opened_at IS NULL THEN (h.closing_gal, h.missing_gal, h.is_unknown)
      ELSE (s.closing_gal, s.missing_gal, coalesce(v.dropped_at >= s.opened_at, false)) END
    OR n.aircraft <> f.aircraft),
stood_base AS (
  SELECT aircraft, known_at, max(base) AS base FROM (
    SELECT aircraft, loaded_at AS known_at, base FROM account.load WHERE loaded_at >= cut_at() AND loaded_at < end_at() AND is_near_aircraft(aircraft)
    UNION ALL SELECT aircraft, offloaded_at, base FROM account.offload
    WHERE offloaded_at >= cut_at() AND offloaded_at < end_at() AND is_near_aircraft(aircraft)
    UNION ALL SELECT aircraft, unnest([off_at, on_at]), unnest([from_base, to_base]) FROM account.flight
    WHERE off_at >= cut_at() AND off_at < end_at() AND is_near_aircraft(aircraft)
    UNION ALL FROM base_before)
  WHERE base IS NOT NULL GROUP BY aircraft, known_at),
other_base AS (
  SELECT aircraft, max_by(base, known_at) AS base FROM known_base WHERE known_at < end_at() GROUP BY aircraft
  EXCEPT SELECT aircraft, max_by(base, known_at) FROM stood_base WHERE known_at < end_at() GROUP BY aircraft),
lost_base AS (SELECT aircraft FROM stood_base EXCEPT SELECT aircraft FROM known_base WHERE known_at < end_at()),
latest AS (
  SELECT max(moment) AS moment FROM (
    SELECT max(happened_at) AS moment FROM stage_zone WHERE happened_at < end_at() UNION ALL SELECT max(on_at) FROM stage_flight)),
latest_day AS (
  SELECT max(d.operating_day) AS day FROM stage_day d JOIN stage_zone z ON z.kind = d.kind AND z.r = d.r WHERE z.happened_at < end_at())
SELECT NOT EXISTS (FROM other_level) AND NOT EXISTS (FROM other_base) AND NOT EXISTS (FROM lost_base)
  AND coalesce((SELECT moment + INTERVAL 6 HOUR < end_at() FROM latest), true) AND coalesce((SELECT day < end_day() FROM latest_day), true)
