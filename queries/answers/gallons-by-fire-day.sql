-- title: Gallons per fire and day
-- grain: one row per fire and operating day with fire drops
-- params: season, from, to, aircraft, tank, base, fire, fluid
-- columns:
--   fire     fire number, or unattributed
--   name     fire name
--   day      operating day
--   drops    fire drops
--   gallons  US gal delivered
SELECT coalesce(fire, 'unattributed') AS fire, any_value(fire_name) AS name, operating_day AS day,
  count(*)::INTEGER AS drops, coalesce(fsum(volume_gal), 0) AS gallons
FROM answers.drops_in($season, $from, $to, $aircraft, $tank, $base, $fire, $fluid)
WHERE purpose = 'fire'
GROUP BY coalesce(fire, 'unattributed'), fire_season, operating_day
ORDER BY day, fire
