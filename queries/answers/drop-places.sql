-- title: Where drops fell
-- grain: one row per place and fluid, plus one without a place
-- params: season, from, to, aircraft, tank, base, fire, fluid
-- columns:
--   latitude   degrees north; null for the drops without a usable position
--   longitude  degrees east
--   fluid      fluid
--   drops      fire drops at the place
--   gallons    US gal delivered there
--   drop       id of one of them; opens its evidence
--   aircraft   aircraft of that drop
--   dropped_at time of that drop, UTC
--   fire       fire number of that drop
-- note: Up to 3,000 drops each have their own row; of more, those within a hundredth of a degree share one. The 5,000 largest places are given.
WITH dropped AS (
  SELECT "drop", aircraft, dropped_at, fire, fluid, volume_gal,
    CASE WHEN position_trouble IS NULL THEN latitude END AS latitude,
    CASE WHEN position_trouble IS NULL THEN longitude END AS longitude,
    count(*) OVER () > 3000 AS is_crowd
  FROM answers.drops_in($season, $from, $to, $aircraft, $tank, $base, $fire, $fluid) WHERE purpose = 'fire'),
placed AS (
  SELECT *, CASE WHEN is_crowd THEN round(latitude, 2) ELSE latitude END AS lat,
    CASE WHEN is_crowd THEN round(longitude, 2) ELSE longitude END AS lon,
    CASE WHEN latitude IS NOT NULL AND NOT is_crowd THEN "drop" END AS own
  FROM dropped)
SELECT lat AS latitude, lon AS longitude, CASE WHEN lat IS NOT NULL THEN fluid END AS fluid, count(*)::INTEGER AS drops,
  coalesce(sum(volume_gal::DECIMAL(38,9))::DOUBLE, 0) AS gallons, min("drop") AS "drop", arg_min(aircraft, "drop") AS aircraft,
  arg_min(dropped_at, "drop") AS dropped_at, arg_min(fire, "drop") AS fire
FROM placed
GROUP BY lat, lon, CASE WHEN lat IS NOT NULL THEN fluid END, own
ORDER BY lat IS NOT NULL, gallons DESC, "drop"
LIMIT 5000
