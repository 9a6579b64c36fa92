-- title: Flights
-- grain: one row per canonical flight
-- params: season, from, to, aircraft, tank
-- columns:
--   flight          id of the flight; opens its evidence
--   off_at          wheels off, UTC
--   on_at           wheels on, UTC
--   aircraft        registration
--   airborne_hours  wheels off to wheels on, h
--   mission         true with at least one fire drop
--   witnesses       who recorded it
--   status          corroborated by two witnesses, or single
--   tank            tank carried
--   from_base       base flown from
--   to_base         base flown to
--   operating_day   local day
--   season          season
--   hours           hours as metered, for billing, h
SELECT flight, off_at, on_at, aircraft, airborne_hours, is_mission AS mission, witnesses, status, tank, from_base, to_base,
  operating_day, season, hours
FROM answers.flights_in($season, $from, $to, $aircraft, $tank)
ORDER BY off_at, flight
