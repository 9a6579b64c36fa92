-- Use by tank (its row), day and course: 0 openings, 1 retardant openings, 2 emergency releases, 3 fills, 4 mounted hours, and from
-- 10 on the cycles of each door.
WITH by_day AS (
  SELECT tank, day, sum(openings) AS openings, sum(retardant) AS retardant, bool_or(has_retardant) AS has_retardant,
    sum(emergency) AS emergency
  FROM history_use GROUP BY tank, day),
cycles AS (
  SELECT u.tank, u.day, unnest(coalesce(u.doors, list_transform(range(1, t.doors + 1), lambda n: 'door-' || n))) AS door, u.openings
  FROM history_use u JOIN account.tank t ON t.tank = u.tank),
used AS (
  SELECT tank, day, 0 AS course, openings::DOUBLE AS amount FROM by_day
  UNION ALL SELECT tank, day, 1, retardant FROM by_day WHERE has_retardant
  UNION ALL SELECT tank, day, 2, emergency FROM by_day WHERE emergency > 0
  UNION ALL
  SELECT tank, operating_day, 3, count(*) FROM account.load CROSS JOIN due_ask
  WHERE tank IS NOT NULL AND operating_day <= as_of AND operating_day > as_of - INTERVAL 8 YEAR GROUP BY tank, operating_day
  UNION ALL
  SELECT tank, operating_day, 4, sum(airborne_hours::DECIMAL(38,15))::DOUBLE FROM account.flight CROSS JOIN due_ask
  WHERE tank IS NOT NULL AND operating_day <= as_of AND operating_day > as_of - INTERVAL 8 YEAR GROUP BY tank, operating_day
  UNION ALL
  SELECT tank, day, 10 + door_no, openings FROM (
    SELECT tank, day, door, sum(openings) AS openings FROM cycles GROUP BY tank, day, door) JOIN history_door USING (door))
SELECT t.row, u.day - DATE '1970-01-01' AS day, u.course, u.amount FROM used u JOIN history_tank t USING (tank);
