-- title: Clock offsets
-- grain: one row per witness, aircraft and day
-- params: from, to, aircraft
-- columns:
--   witness     who recorded
--   aircraft    registration
--   day         day, UTC
--   offset_min  the witness's clock less the common clock, min; positive: it reads late
--   pairs       shared events behind it, of all its sources that day
--   source      witness and profile, and of tickets base, with the most of them
--   basis       what the common clock was taken from
--   spread_min  spread of the pairs, min
WITH placed AS (
  SELECT *, sum(pairs) OVER (PARTITION BY witness, aircraft, day) AS all_pairs,
    row_number() OVER (PARTITION BY witness, aircraft, day ORDER BY pairs DESC, abs(offset_min) DESC, source, base, started_at) AS place
  FROM ledger.clock)
SELECT witness, aircraft, day, offset_min, all_pairs::INTEGER AS pairs,
  ledger.clock_name(source, base) AS source, basis, spread_min
FROM placed
WHERE place = 1 AND ($from IS NULL OR day >= $from::DATE) AND ($to IS NULL OR day <= $to::DATE)
  AND ($aircraft IS NULL OR aircraft = $aircraft)
ORDER BY aircraft, day, witness
