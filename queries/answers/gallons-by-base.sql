-- title: Gallons per base
-- grain: one row per base, plus unknown, plus no drop (hours only)
-- params: season, from, to, aircraft, tank, base, fire, fluid
-- columns:
--   base                     base code, unknown, or no drop
--   name                     base name
--   loads                    loads put in here
--   loaded_gal               US gal loaded, as the ticket or gauge says
--   drops                    fire drops of loads from here
--   gallons                  US gal delivered of loads from here
--   flight_hours             share of the flights' airborne hours, h
--   gallons_per_flight_hour  US gal of drops with a known flight, per hour
--   median_turnaround_min    median time from load to load of one aircraft in one day, min
--   gallons_without_flight   gallons of drops that no recorded flight holds, left out of the rate, US gal
-- note: A drop belongs to the base of the load it came from. A fire filter keeps loads and turnarounds whole.
WITH dropped AS (
  SELECT * FROM answers.counted_in($season, $from, $to, $aircraft, $tank, $base, $fire, $fluid) WHERE purpose = 'fire'),
idle AS (
  SELECT coalesce(sum(airborne_hours::DECIMAL(38,15))::DOUBLE, 0) AS hours
  FROM answers.flights_in($season, $from, $to, $aircraft, $tank) WHERE NOT is_mission),
load_sums AS (
  SELECT coalesce(base, 'unknown') AS base, count(*) AS loads, sum(volume_gal::DECIMAL(38,9))::DOUBLE AS loaded_gal
  FROM answers.loads_in($season, $from, $to, $aircraft, $tank, $base, $fluid) GROUP BY ALL),
turned AS (
  SELECT turnaround_base AS base, median(turnaround_min) AS median_turnaround_min
  FROM answers.loads_in($season, $from, $to, $aircraft, $tank, NULL, $fluid)
  WHERE turnaround_min IS NOT NULL AND ($base IS NULL OR turnaround_base = $base) GROUP BY ALL),
drop_sums AS (
  SELECT coalesce(base, 'unknown') AS base, count(*) AS drops, sum(volume_gal::DECIMAL(38,9))::DOUBLE AS gallons,
    sum(flight_hours::DECIMAL(38,15))::DOUBLE AS flight_hours,
    sum(volume_gal::DECIMAL(38,9)) FILTER (WHERE flight IS NOT NULL)::DOUBLE AS flown_gal,
    sum(volume_gal::DECIMAL(38,9)) FILTER (WHERE flight IS NULL)::DOUBLE AS gallons_without_flight
  FROM dropped GROUP BY ALL),
names AS (
  SELECT base FROM load_sums UNION SELECT base FROM drop_sums UNION SELECT 'unknown' WHERE $base IS NULL OR $base = 'unknown')
SELECT * FROM (
SELECT n.base, b.name, coalesce(l.loads, 0)::INTEGER AS loads, coalesce(l.loaded_gal, 0) AS loaded_gal,
  coalesce(d.drops, 0)::INTEGER AS drops, coalesce(d.gallons, 0) AS gallons, coalesce(d.flight_hours, 0) AS flight_hours,
  d.flown_gal / nullif(d.flight_hours, 0) AS gallons_per_flight_hour, t.median_turnaround_min,
  coalesce(d.gallons_without_flight, 0) AS gallons_without_flight
FROM names n LEFT JOIN account.base b ON b.base = n.base
LEFT JOIN load_sums l ON l.base = n.base LEFT JOIN turned t ON t.base = n.base LEFT JOIN drop_sums d ON d.base = n.base
UNION ALL
SELECT 'no drop', NULL, NULL, NULL, NULL, NULL, hours, NULL, NULL, NULL FROM idle)
ORDER BY base = 'no drop', base = 'unknown', gallons DESC, base
