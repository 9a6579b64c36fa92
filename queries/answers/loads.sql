-- title: Loads
-- grain: one row per canonical load
-- params: season, from, to, aircraft, tank, base, fluid
-- columns:
--   load            id of the load; opens its evidence
--   loaded_at       fill finished, UTC
--   aircraft        registration
--   tank            tank serial
--   base            base
--   ticket          ticket number
--   volume_gal      volume, US gal
--   fluid           fluid
--   witnesses       who recorded it
--   status          corroborated by two witnesses, or single
--   operating_day   local day of the base
--   season          season
--   corrected_gal   volume with the bias of the base's meter taken out, US gal
--   turnaround_min  time since the aircraft's last load of the day, min
--   is_overfill     overflowed or above capacity
SELECT load, loaded_at, aircraft, tank, base, ticket, volume_gal, fluid, witnesses, status, operating_day, season, corrected_gal,
  turnaround_min, is_overfill
FROM answers.loads_in($season, $from, $to, $aircraft, $tank, $base, $fluid)
ORDER BY loaded_at, load
