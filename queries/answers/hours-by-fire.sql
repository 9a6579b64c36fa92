-- title: Flight hours per fire
-- grain: one row per fire, plus unattributed and no drop; sums to all airborne hours
-- params: season, from, to, aircraft, tank
-- columns:
--   fire          fire number, unattributed, or no drop
--   flight_hours  share of the flights' airborne hours, h
--   name          fire name
--   season        season in which the fire began
-- note: A flight without a fire drop is in the row no drop, whatever else it released.
WITH every AS (
  SELECT coalesce(fire, 'unattributed') AS fire, fire_season, flight_hours
  FROM answers.counted_in($season, $from, $to, $aircraft, $tank, NULL, NULL, NULL) WHERE purpose = 'fire'
  UNION ALL SELECT 'no drop', NULL, airborne_hours
  FROM answers.flights_in($season, $from, $to, $aircraft, $tank) WHERE NOT is_mission
  UNION ALL SELECT 'unattributed', NULL, 0
  UNION ALL SELECT 'no drop', NULL, 0),
summed AS (SELECT fire, fire_season, sum(flight_hours::DECIMAL(38,15))::DOUBLE AS flight_hours FROM every GROUP BY ALL)
SELECT s.fire, s.flight_hours, f.name, s.fire_season AS season
FROM summed s LEFT JOIN account.fire f ON f.number = s.fire AND f.season = s.fire_season
ORDER BY s.fire = 'no drop', s.fire = 'unattributed', s.flight_hours DESC, s.fire
