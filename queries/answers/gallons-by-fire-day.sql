-- title: Gallons per fire and day
-- grain: one row per fire and operating day with fire drops
-- params: season, from, to, aircraft, tank, base, fire, fluid
-- columns:
--   fire     fire number, or unattributed
--   name     fire name
--   day      operating day
--   drops    fire drops
--   gallons  US gal delivered
WITH summed AS (
  SELECT fire, fire_season, operating_day AS day, count(*)::INTEGER AS drops, coalesce(sum(volume_gal::DECIMAL(38,9))::DOUBLE, 0) AS gallons
  FROM answers.counted_in($season, $from, $to, $aircraft, $tank, $base, $fire, $fluid)
  WHERE purpose = 'fire' GROUP BY ALL)
SELECT coalesce(s.fire, 'unattributed') AS fire, f.name, s.day, s.drops, s.gallons
FROM summed s LEFT JOIN account.fire f ON f.number = s.fire AND f.season = s.fire_season
ORDER BY s.day, 1
