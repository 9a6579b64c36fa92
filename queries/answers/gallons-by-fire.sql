-- title: Gallons per fire
-- grain: one row per fire, plus unattributed
-- params: season, from, to, aircraft, tank, base, fire, fluid
-- columns:
--   fire                     fire number, or unattributed
--   name                     fire name
--   drops                    fire drops
--   gallons                  US gal delivered
--   water_gal                of it water, US gal
--   retardant_gal            of it retardant, US gal
--   gel_gal                  of it gel, US gal
--   foam_gal                 of it foam, US gal
--   flight_hours             share of the flights' airborne hours, h
--   gallons_per_flight_hour  US gal of drops with a known flight, per hour
--   first_at                 first drop, UTC
--   last_at                  last drop, UTC
--   unknown_fluid_gal        gallons of which no log names the fluid, US gal
--   gallons_without_flight   gallons of drops that no recorded flight holds, left out of the rate, US gal
--   drops_without_volume     drops whose volume nobody knows; they add no gallons
--   season                   season in which the fire began
-- note: Only fire drops count here; volume-by-purpose has all. A flight's hours are split over its fires by gallons.
WITH dropped AS (
  SELECT * FROM answers.counted_in($season, $from, $to, $aircraft, $tank, $base, $fire, $fluid) WHERE purpose = 'fire'),
every AS (
  SELECT coalesce(fire, 'unattributed') AS fire, fire_season, volume_gal, fluid, flight, flight_hours, dropped_at,
    1 AS counted
  FROM dropped
  UNION ALL SELECT 'unattributed', NULL, NULL, NULL, NULL, 0, NULL, 0
  WHERE $fire IS NULL OR $fire = 'unattributed')
SELECT fire, (SELECT any_value(f.name) FROM account.fire f WHERE f.number = every.fire AND f.season = every.fire_season) AS name,
  sum(counted)::INTEGER AS drops,
  coalesce(sum(volume_gal::DECIMAL(38,9))::DOUBLE, 0) AS gallons,
  coalesce(sum(volume_gal::DECIMAL(38,9)) FILTER (WHERE fluid = 'water')::DOUBLE, 0) AS water_gal,
  coalesce(sum(volume_gal::DECIMAL(38,9)) FILTER (WHERE fluid = 'retardant')::DOUBLE, 0) AS retardant_gal,
  coalesce(sum(volume_gal::DECIMAL(38,9)) FILTER (WHERE fluid = 'gel')::DOUBLE, 0) AS gel_gal,
  coalesce(sum(volume_gal::DECIMAL(38,9)) FILTER (WHERE fluid = 'foam')::DOUBLE, 0) AS foam_gal,
  coalesce(sum(flight_hours::DECIMAL(38,15))::DOUBLE, 0) AS flight_hours,
  sum(volume_gal::DECIMAL(38,9)) FILTER (WHERE flight IS NOT NULL)::DOUBLE / nullif(sum(flight_hours::DECIMAL(38,15))::DOUBLE, 0) AS gallons_per_flight_hour,
  min(dropped_at) AS first_at, max(dropped_at) AS last_at,
  coalesce(sum(volume_gal::DECIMAL(38,9)) FILTER (WHERE fluid IS NULL)::DOUBLE, 0) AS unknown_fluid_gal,
  coalesce(sum(volume_gal::DECIMAL(38,9)) FILTER (WHERE flight IS NULL)::DOUBLE, 0) AS gallons_without_flight,
  (count(*) FILTER (WHERE counted = 1 AND volume_gal IS NULL))::INTEGER AS drops_without_volume,
  fire_season AS season
FROM every GROUP BY fire, fire_season
ORDER BY fire = 'unattributed', gallons DESC, fire
