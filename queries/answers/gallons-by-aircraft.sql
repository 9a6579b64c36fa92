-- title: Gallons per aircraft
-- grain: one row per aircraft that flew or dropped
-- params: season, from, to, aircraft, tank, base, fire, fluid
-- columns:
--   aircraft                     registration
--   call_number                  number used on the radio
--   drops                        fire drops
--   gallons                      US gal delivered
--   airborne_hours               all airborne hours, h
--   mission_hours                hours of flights with a fire drop, h
--   gallons_per_airborne_hour    US gal of drops with a known flight, per airborne hour
--   gallons_per_mission_hour     US gal of drops with a known flight, per mission hour
--   gallons_without_flight       gallons of drops that no recorded flight holds, left out of the rates, US gal
-- note: Base, fire and fluid choose drops; hours stay those of the aircraft on the chosen days.
WITH dropped AS (
  SELECT aircraft, count(*) AS drops, sum(volume_gal::DECIMAL(38,9))::DOUBLE AS gallons,
    sum(volume_gal::DECIMAL(38,9)) FILTER (WHERE flight IS NOT NULL)::DOUBLE AS flown_gal,
    sum(volume_gal::DECIMAL(38,9)) FILTER (WHERE flight IS NULL)::DOUBLE AS gallons_without_flight
  FROM answers.counted_in($season, $from, $to, $aircraft, $tank, $base, $fire, $fluid) WHERE purpose = 'fire' GROUP BY aircraft),
flown AS (
  SELECT aircraft, sum(airborne_hours::DECIMAL(38,15))::DOUBLE AS airborne_hours,
    sum(airborne_hours::DECIMAL(38,15)) FILTER (WHERE is_mission)::DOUBLE AS mission_hours
  FROM answers.flights_in($season, $from, $to, $aircraft, $tank) GROUP BY aircraft)
SELECT coalesce(d.aircraft, f.aircraft) AS aircraft, a.call_number, coalesce(d.drops, 0)::INTEGER AS drops,
  coalesce(d.gallons, 0) AS gallons, coalesce(f.airborne_hours, 0) AS airborne_hours,
  coalesce(f.mission_hours, 0) AS mission_hours,
  d.flown_gal / nullif(f.airborne_hours, 0) AS gallons_per_airborne_hour,
  d.flown_gal / nullif(f.mission_hours, 0) AS gallons_per_mission_hour,
  coalesce(d.gallons_without_flight, 0) AS gallons_without_flight
FROM dropped d FULL JOIN flown f ON f.aircraft = d.aircraft
LEFT JOIN account.aircraft a ON a.aircraft = coalesce(d.aircraft, f.aircraft)
ORDER BY gallons DESC, aircraft
