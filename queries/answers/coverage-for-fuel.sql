-- title: Coverage for the fuel
-- grain: one row per fuel and coverage level set
-- params: season, from, to, aircraft, tank, base, fire, fluid
-- columns:
--   fuel              fuel as the observer, else the fire's record, names it; unknown where nobody does
--   recommended       published coverage level, or the range of the rows that the words cover; blank where none fits
--   coverage_level    coverage level set, US gal per 100 sq ft
--   drops             fire drops
--   gallons           US gal delivered
--   difference        set minus recommended; 0 inside the range
--   is_open_ended     set as more than the level
--   recommended_low   low end of the range, US gal per 100 sq ft
--   recommended_high  high end of the range, US gal per 100 sq ft; above 6 reads as 6 here
--   table_rows        rows of the published table that the words cover
--   basis             how the words were found in the table
--   mark              read, or from memory where a cell could not be read in the source
-- note: Shown, not judged: the air attack decides on the day. The published levels are for average fire intensity and are to be
--   adjusted to the actual one.
-- note: Source: retardant coverage levels needed for specific fuel models, Table 1 of the USDA Forest Service, Missoula Technology and
--   Development Center, drop guides. Southern rough (blank in the copies read: 4 or 6), cured brush, chaparral and medium and heavy
--   slash are from memory.
-- note: A letter of the danger rating system alone is not enough (F and O stand in two rows each) and gives a range; so do words for a
--   group of fuels. A description, or both codes (F 5), give one level.
WITH seen AS (
  -- What observers said of a drop, without what outcomes know of it besides.
  SELECT "drop", arg_max(fuel, assessed_at) AS fuel FROM effectiveness.assessment WHERE "drop" IS NOT NULL GROUP BY "drop"),
dropped AS (
  SELECT d."drop", d.coverage_level, coalesce(d.is_open_ended, false) AS is_open_ended, d.volume_gal,
    coalesce(nullif(trim(o.fuel), ''), nullif(trim(f.fuel), '')) AS fuel
  FROM answers.drops_in($season, $from, $to, $aircraft, $tank, $base, $fire, $fluid) d
  LEFT JOIN seen o ON o."drop" = d."drop"
  LEFT JOIN effectiveness.fire_fuel f ON f.number = d.fire AND f.season = d.fire_season
  WHERE d.purpose = 'fire'),
grouped AS (
  SELECT lower(coalesce(fuel, 'unknown')) AS fuel, coverage_level, is_open_ended, count(*)::INTEGER AS drops,
    coalesce(sum(volume_gal::DECIMAL(38,9))::DOUBLE, 0) AS gallons
  FROM dropped GROUP BY ALL)
SELECT g.fuel, r.recommended, g.coverage_level, g.drops, g.gallons,
  CASE WHEN g.coverage_level < r.low THEN g.coverage_level - r.low
    WHEN g.coverage_level > r.high AND NOT r.is_high_open THEN g.coverage_level - r.high
    WHEN g.coverage_level IS NOT NULL AND r.low IS NOT NULL THEN 0 END AS difference,
  g.is_open_ended, r.low AS recommended_low, r.high AS recommended_high, r.rows_named AS table_rows, r.basis, r.mark
FROM grouped g LEFT JOIN effectiveness.fuel_recommendation r ON r.fuel_key = effectiveness.fuel_key(g.fuel)
ORDER BY g.fuel = 'unknown', g.fuel, g.coverage_level
