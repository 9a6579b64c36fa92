-- title: Gallons per hour of each mission flight
-- grain: one row per mission flight, at most 300 of each aircraft
-- params: season, from, to, aircraft, tank, base, fire, fluid
-- columns:
--   flight          id of the flight; opens its evidence
--   aircraft        registration
--   day             operating day
--   airborne_hours  wheels off to wheels on, h
--   gallons         US gal delivered on it
--   flights         mission flights of the aircraft, all of them
--   low             lower quartile of the aircraft's gallons per airborne hour, over all of them
--   middle          median of the same
--   high            upper quartile of the same
-- note: Of an aircraft with more than 300 flights, 300 are given, chosen by a hash of their id; the quartiles are of all.
WITH dropped AS (
  SELECT flight, sum(volume_gal::DECIMAL(38,9))::DOUBLE AS gallons
  FROM answers.counted_in($season, $from, $to, $aircraft, $tank, $base, $fire, $fluid)
  WHERE purpose = 'fire' AND flight IS NOT NULL GROUP BY flight),
flown AS (
  SELECT d.flight, f.aircraft, f.operating_day AS day, f.airborne_hours, d.gallons, d.gallons / nullif(f.airborne_hours, 0) AS rate
  FROM dropped d JOIN account.flight f ON f.flight = d.flight),
rated AS (
  SELECT aircraft, count(*)::INTEGER AS flights, quantile_cont(rate, 0.25) AS low, quantile_cont(rate, 0.5) AS middle,
    quantile_cont(rate, 0.75) AS high
  FROM flown GROUP BY aircraft)
SELECT n.flight, n.aircraft, n.day, n.airborne_hours, n.gallons, r.flights, r.low, r.middle, r.high
FROM flown n JOIN rated r ON r.aircraft = n.aircraft
QUALIFY row_number() OVER (PARTITION BY n.aircraft ORDER BY hash(n.flight), n.flight) <= 300
ORDER BY n.aircraft, n.day, n.flight
