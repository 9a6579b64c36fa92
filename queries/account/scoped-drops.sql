-- The account of each drop. Hours are shared by whole nano-gallons, so that no order of summing can change a bit.
CREATE OR REPLACE TEMP TABLE flight_share AS
SELECT flight_r, sum(nano) AS flight_nano, count(*) AS flight_drops
FROM (SELECT s.flight_r, coalesce(round(coalesce(d.volume_gal, w.volume_gal) * 1e9)::BIGINT, 0) AS nano
  FROM stage_drop s JOIN told_drop d ON d.r = s.r LEFT JOIN account.walk_drop w ON w.row_no = s.r
  WHERE s.purpose = 'fire' AND s.flight_r IS NOT NULL)
GROUP BY flight_r;

CREATE OR REPLACE TEMP TABLE scoped_drop AS
WITH joined AS (
  SELECT s.*, d."drop", d.fluid AS own_fluid, d.openings, d.doors, d.is_recorded, d.is_emergency_release, d.volume_gal AS witnessed_gal,
    d.coverage_level, d.fraction, d.groundspeed_kt, d.fire_text, d.latitude, d.longitude,
    coalesce(d.volume_gal, w.volume_gal) AS volume_gal, w.basis, coalesce(w.is_load_missing, false) AS is_walk_short,
    coalesce(w.is_command_above_level, false) AS is_command_above_level, w.first_door, w.last_door
  FROM stage_drop s JOIN told_drop d ON d.r = s.r LEFT JOIN account.walk_drop w ON w.row_no = s.r
  WHERE is_touched(s.aircraft) OR is_near_tank(s.tank)),
placed AS (
  SELECT j.*, j.load_r IS NULL OR j.is_other_tank OR j.is_elsewhere OR j.is_walk_short AS is_load_missing,
    CASE WHEN j.purpose = 'fire' AND j.flight_r IS NOT NULL THEN coalesce(round(j.volume_gal * 1e9)::BIGINT, 0) END AS nano
  FROM joined j)
SELECT p."drop", p.aircraft, p.dropped_at, p.tank, CASE WHEN p.is_load_missing THEN NULL ELSE l.load END AS load,
  CASE WHEN p.is_load_missing THEN g.from_base ELSE p.load_base END AS base,
  CASE WHEN NOT p.is_load_missing AND p.load_base IS NOT NULL THEN 'load'
    WHEN p.is_load_missing AND g.from_base IS NOT NULL THEN 'flight' ELSE 'unknown' END AS base_basis,
  f.fire, f.fire_season, f.fire_basis, f.fire_distance_nm, h.flight, f.operating_day, z.season, p.volume_gal,
  CASE WHEN p.witnessed_gal IS NOT NULL THEN 'witnessed' WHEN p.basis = 1 THEN 'fraction' WHEN p.basis = 2 THEN 'balance' END
    AS volume_basis,
  coalesce(p.own_fluid, CASE WHEN NOT p.is_load_missing THEN l.fluid END) AS fluid,
  CASE WHEN p.own_fluid IS NOT NULL THEN 'witnessed' WHEN NOT p.is_load_missing AND l.fluid IS NOT NULL THEN 'load' END
    AS fluid_basis,
  p.purpose, p.is_purpose_assumed, coalesce(p.openings, 1) AS openings,
  CASE WHEN list_contains(p.doors, 'all') THEN NULL WHEN len(p.doors) > 0 THEN p.doors
    WHEN p.first_door IS NOT NULL THEN list_transform(range(p.first_door, p.last_door + 1), lambda n: 'door-' || n) END AS doors,
  coalesce(len(p.doors), 0) = 0 AS is_doors_assumed,
  coalesce(p.own_fluid, CASE WHEN NOT p.is_load_missing THEN l.fluid END, 'retardant') = 'retardant'
    AND p.volume_gal IS DISTINCT FROM 0 AS is_retardant_opening,
  p.is_emergency_release IS TRUE OR p.purpose = 'emergency' AS is_emergency_release, p.is_command_above_level,
  p.is_recorded IS TRUE AS is_recorded, f.trouble AS position_trouble,
  CASE WHEN p.nano IS NULL THEN 0
    ELSE greatest(epoch_us(h.on_at) - epoch_us(h.off_at), 0) / 3.6e9
      * CASE WHEN u.flight_nano > 0 THEN p.nano::DOUBLE / u.flight_nano::DOUBLE ELSE 1 / u.flight_drops::DOUBLE END
    END AS flight_hours, f.is_home,
  p.capacity_gal, p.coverage_level, p.fraction, p.groundspeed_kt, p.fire_text, p.latitude, p.longitude
FROM placed p
LEFT JOIN flight_share u ON u.flight_r = p.flight_r
LEFT JOIN told_load l ON l.r = p.load_r
LEFT JOIN stage_flight g ON g.r = p.flight_r
LEFT JOIN told_flight h ON h.r = p.flight_r
LEFT JOIN stage_fire f ON f.r = p.r
LEFT JOIN day_season z ON z.operating_day = f.operating_day;
CREATE OR REPLACE TEMP VIEW fresh_drop AS
SELECT * EXCLUDE (capacity_gal, coverage_level, fraction, groundspeed_kt, fire_text, latitude, longitude) FROM scoped_drop;
