-- title: Drops
-- grain: one row per canonical drop
-- params: season, from, to, aircraft, tank, base, fire, fluid
-- columns:
--   drop            id of the drop; opens its evidence
--   dropped_at      time, UTC
--   aircraft        registration
--   tank            tank serial
--   base            base of the load it came from
--   fire            fire number
--   fire_basis      stated, nearest or unattributed
--   flight          id of the flight that holds it
--   volume_gal      volume released, US gal
--   commanded_gal   volume asked for, US gal
--   coverage_level  coverage level set, gal per 100 sq ft
--   fraction        share of a full load asked for
--   fluid           fluid
--   purpose         purpose
--   openings        open-close movements of the doors
--   latitude        degrees north
--   longitude       degrees east
--   witnesses       who recorded it
--   status          corroborated by two witnesses, or single
--   operating_day   local day of the base
--   season          season
--   load            id of the load it came from
--   volume_basis    witnessed, or worked out from the fraction or the balance
--   is_purpose_assumed  true where no log names the purpose
--   flight_hours    share of its flight's airborne hours, h
SELECT "drop", dropped_at, aircraft, tank, base, fire, fire_basis, flight, volume_gal, commanded_gal, coverage_level, fraction,
  fluid, purpose, openings, latitude, longitude, witnesses, status, operating_day, season, load, volume_basis,
  is_purpose_assumed, flight_hours
FROM answers.drops_in($season, $from, $to, $aircraft, $tank, $base, $fire, $fluid)
ORDER BY dropped_at, "drop"
