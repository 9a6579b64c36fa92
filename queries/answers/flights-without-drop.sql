-- title: Flights without a fire drop
-- grain: one row per flight that dropped on no fire
-- params: season, from, to, aircraft, tank
-- columns:
--   flight          id of the flight; opens its evidence
--   off_at          wheels off, UTC
--   on_at           wheels on, UTC
--   aircraft        registration
--   airborne_hours  wheels off to wheels on, h
--   from_base       base flown from
--   to_base         base flown to
--   witnesses       who recorded it
--   status          corroborated by two witnesses, or single
SELECT flight, off_at, on_at, aircraft, airborne_hours, from_base, to_base, witnesses, status
FROM answers.flights_in($season, $from, $to, $aircraft, $tank)
WHERE NOT is_mission
ORDER BY off_at DESC, flight
