-- title: Gallons per day
-- grain: one row per operating day with a fire drop or a flight
-- params: season, from, to, aircraft, tank, base, fire, fluid
-- columns:
--   day             operating day, local to the base
--   drops           fire drops
--   gallons         US gal delivered
--   airborne_hours  airborne hours of the day, h
-- note: Base, fire and fluid choose drops; hours stay those of the chosen aircraft and tanks.
WITH dropped AS (
  SELECT operating_day AS day, count(*) AS drops, sum(volume_gal::DECIMAL(38,9))::DOUBLE AS gallons
  FROM answers.counted_in($season, $from, $to, $aircraft, $tank, $base, $fire, $fluid) WHERE purpose = 'fire' GROUP BY 1),
flown AS (
  SELECT operating_day AS day, sum(airborne_hours::DECIMAL(38,15))::DOUBLE AS airborne_hours
  FROM answers.flights_in($season, $from, $to, $aircraft, $tank) GROUP BY 1)
SELECT coalesce(d.day, f.day) AS day, coalesce(d.drops, 0)::INTEGER AS drops, coalesce(d.gallons, 0) AS gallons,
  coalesce(f.airborne_hours, 0) AS airborne_hours
FROM dropped d FULL JOIN flown f ON f.day = d.day ORDER BY day
