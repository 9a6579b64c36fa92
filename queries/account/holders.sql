-- What the balance walks: the tanks in scope, and aircraft that fly without a tank on record. `typical_gal` is the median
-- volume of a tank's drops of every purpose that released something. A tank that is walked from a cut on begins at its
-- first load after it, with what its last cycle before it left, known or not.
CREATE OR REPLACE TEMP TABLE typical AS
SELECT tank, median(volume_gal) AS typical_gal FROM (
  SELECT tank, volume_gal FROM account."drop"
  WHERE is_near_tank(tank) AND (dropped_at < cut_at() OR dropped_at >= end_at()) AND volume_basis = 'witnessed' AND volume_gal > 0
    AND purpose <> 'ground-test'
  UNION ALL
  SELECT s.tank, d.volume_gal FROM stage_drop s JOIN told_drop d ON d.r = s.r
  WHERE s.tank IS NOT NULL AND d.volume_gal > 0 AND s.purpose <> 'ground-test')
GROUP BY tank;

CREATE OR REPLACE TEMP TABLE holder AS
WITH last_cycle AS (
  SELECT tank, max_by(level_at_close_gal, opened_at) AS closing_gal, max_by(missing_gal, opened_at) AS missing_gal,
    max(opened_at) AS opened_at
  FROM account.cycle WHERE is_near_tank(tank) AND opened_at < cut_at() GROUP BY tank),
last_bare AS (
  SELECT aircraft, max_by(level_at_close_gal, opened_at) AS closing_gal, max_by(missing_gal, opened_at) AS missing_gal,
    max(opened_at) AS opened_at
  FROM account.bare_cycle WHERE is_touched(aircraft) AND opened_at < cut_at() GROUP BY aircraft),
lost AS (
  SELECT tank, tank AS holder, dropped_at FROM account."drop"
  WHERE is_near_tank(tank) AND volume_gal IS NULL AND purpose <> 'ground-test' AND dropped_at < cut_at()
  UNION ALL
  SELECT NULL, aircraft, dropped_at FROM account."drop"
  WHERE is_touched(aircraft) AND tank IS NULL AND volume_gal IS NULL AND purpose <> 'ground-test' AND dropped_at < cut_at())
SELECT row_number() OVER (ORDER BY tank IS NULL, holder)::INTEGER - 1 AS holder_no, holder, tank, capacity_gal, doors,
  is_in_sequence, typical_gal, closing_gal, missing_gal,
  EXISTS (FROM lost l WHERE l.tank IS NOT DISTINCT FROM h.tank AND l.holder = h.holder AND l.dropped_at >= h.opened_at) AS is_unknown
FROM (
  SELECT t.tank AS holder, t.tank, t.capacity_gal, t.doors, t.door_use = 'in-sequence' AS is_in_sequence, y.typical_gal,
    c.closing_gal, c.missing_gal, c.opened_at
  FROM account.tank t SEMI JOIN scope_tank s ON s.tank = t.tank LEFT JOIN typical y ON y.tank = t.tank
  LEFT JOIN last_cycle c ON c.tank = t.tank
  UNION ALL
  SELECT s.aircraft, NULL, a.max_load_gal, 1, false, NULL, c.closing_gal, c.missing_gal, c.opened_at
  FROM scope_touched s LEFT JOIN account.aircraft a ON a.aircraft = s.aircraft LEFT JOIN last_bare c ON c.aircraft = s.aircraft) h;
