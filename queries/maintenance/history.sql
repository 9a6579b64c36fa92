-- Use of every tank up to the day, for eight years: the fleet's history that forecasts are drawn from. Three tables:
-- history_use (tank, day, doors: openings), history_tank (row, tank, first_day) and history_door (door_no, door).
CREATE OR REPLACE TEMP TABLE history_use AS
SELECT tank, operating_day AS day, doors, sum(openings) AS openings,
  sum(openings) FILTER (is_retardant) AS retardant, bool_or(is_retardant) AS has_retardant,
  count(*) FILTER (is_emergency_release) AS emergency
FROM account.opening CROSS JOIN due_ask WHERE operating_day <= as_of AND operating_day > as_of - INTERVAL 8 YEAR
GROUP BY ALL;

CREATE OR REPLACE TEMP TABLE history_tank AS
SELECT row_number() OVER (ORDER BY tank)::INTEGER - 1 AS row, tank, min(day) - DATE '1970-01-01' AS first_day
FROM (
  SELECT tank, day FROM history_use
  UNION ALL
  SELECT tank, operating_day FROM (
    SELECT tank, operating_day FROM account.load UNION ALL SELECT tank, operating_day FROM account.flight) CROSS JOIN due_ask
  WHERE tank IS NOT NULL AND operating_day <= as_of AND operating_day > as_of - INTERVAL 8 YEAR)
GROUP BY tank;

CREATE OR REPLACE TEMP TABLE history_door AS
WITH used AS (
  SELECT DISTINCT tank, doors FROM history_use)
SELECT row_number() OVER (ORDER BY door)::INTEGER - 1 AS door_no, door
FROM (SELECT DISTINCT unnest(coalesce(u.doors, list_transform(range(1, t.doors + 1), lambda n: 'door-' || n))) AS door
  FROM used u JOIN account.tank t ON t.tank = u.tank);
