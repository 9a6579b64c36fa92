-- What the balance walks: the tanks in scope, and aircraft that fly without a tank on record.
CREATE OR REPLACE TEMP TABLE holder AS
SELECT row_number() OVER (ORDER BY tank IS NULL, holder)::INTEGER - 1 AS holder_no, holder, tank, capacity_gal, doors, is_in_sequence
FROM (
  SELECT t.tank AS holder, t.tank, t.capacity_gal, t.doors, t.door_use = 'in-sequence' AS is_in_sequence
  FROM account.tank t SEMI JOIN scope_tank s ON s.tank = t.tank
  UNION ALL
  SELECT s.aircraft, NULL, a.max_load_gal, 1, false
  FROM scope_touched s LEFT JOIN account.aircraft a ON a.aircraft = s.aircraft);
