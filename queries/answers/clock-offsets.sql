-- title: Clock offsets
-- grain: one row per witness, aircraft and day
-- params: from, to, aircraft
-- columns:
--   witness     who recorded
--   aircraft    registration
--   day         day, UTC
--   offset_min  the witness's clock less the common clock, min; positive: it reads late
--   pairs       shared events behind it
--   source      witness and profile
--   basis       what the common clock was taken from
--   spread_min  spread of the pairs, min
SELECT witness, aircraft, day, offset_min, pairs, source, basis, spread_min
FROM ledger.clock
WHERE ($from IS NULL OR day >= $from::DATE) AND ($to IS NULL OR day <= $to::DATE)
  AND ($aircraft IS NULL OR aircraft = $aircraft)
ORDER BY aircraft, day, witness, source
