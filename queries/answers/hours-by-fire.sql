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
  SELECT coalesce(fire, 'unattributed') AS fire, fire_season, fire_name, flight_hours
  FROM answers.drops_in($season, $from, $to, $aircraft, $tank, NULL, NULL, NULL) WHERE purpose = 'fire'
  UNION ALL SELECT 'no drop', NULL, NULL, airborne_hours
  FROM answers.flights_in($season, $from, $to, $aircraft, $tank) WHERE NOT is_mission
  UNION ALL SELECT 'unattributed', NULL, NULL, 0
  UNION ALL SELECT 'no drop', NULL, NULL, 0)
SELECT fire, fsum(flight_hours) AS flight_hours, any_value(fire_name) AS name, fire_season AS season
FROM every GROUP BY fire, fire_season
ORDER BY fire = 'no drop', fire = 'unattributed', flight_hours DESC, fire
