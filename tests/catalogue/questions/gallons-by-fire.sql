-- title: Gallons per fire
-- grain: one row per fire
-- params: season, from, fluid
-- note: A first note
--   that goes on.
-- columns:
--   fire       fire number
--   drops      number of drops
--   gallons    US gal delivered
--   cost       money spent
--   price      unit price
--   first_at   time of the first drop (UTC)
--   first_day  its operating day
--   fluids     what was dropped
--              in the order of the alphabet
--   is_large   more than 1000 US gal
SELECT
  fire,
  count(*) AS drops,
  sum(volume_gal) AS gallons,
  sum(cost)::DECIMAL(18, 2) AS cost,
  max(price) AS price,
  min(dropped_at) AS first_at,
  min(dropped_at)::DATE AS first_day,
  list_sort(list_distinct(list(fluid))) AS fluids,
  sum(volume_gal) > 1000 AS is_large
FROM answers.drop
WHERE ($season IS NULL OR season = $season)
  AND ($from IS NULL OR dropped_at::DATE >= $from::DATE)
  AND ($fluid IS NULL OR fluid = $fluid)
GROUP BY fire
ORDER BY fire NULLS LAST;
