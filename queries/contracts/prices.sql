-- The prices in force on every day that matters, tier by tier. Of prices that overlap in time the one that began last holds;
-- a tier reaches to where the next one begins, and the first from nothing.
CREATE OR REPLACE TEMP TABLE tier_day AS
WITH wanted AS (
  SELECT contract, item, price_fluid, day FROM seen WHERE is_inside AND price_fluid IS NOT NULL
  UNION
  SELECT b.contract, b.item, unnest(p.fluids), b.from_on FROM bill b JOIN priced_item p ON p.contract = b.contract AND p.item = b.item),
valid AS (
  SELECT w.*, p.unit_price, p.tier_from, p.starts_on FROM wanted w
  JOIN price p ON p.contract = w.contract AND p.item = w.item AND p.price_fluid = w.price_fluid AND w.day BETWEEN p.starts_on AND p.ends_on
  QUALIFY p.starts_on = max(p.starts_on) OVER (PARTITION BY w.contract, w.item, w.price_fluid, w.day))
SELECT contract, item, price_fluid, day, unit_price, row_number() OVER up AS tier,
  (contract, item, price_fluid) IN (SELECT (contract, item, price_fluid) FROM tiered) AS is_tiered,
  CASE WHEN row_number() OVER up = 1 THEN 0 ELSE tier_from END::DECIMAL(38,6) AS tier_from,
  coalesce(lead(tier_from) OVER up, 1000000000000000)::DECIMAL(38,6) AS tier_to
FROM valid WINDOW up AS (PARTITION BY contract, item, price_fluid, day ORDER BY tier_from);

-- Work on a day without a price cannot be paid for.
UPDATE seen SET price_fluid = NULL WHERE is_inside AND price_fluid IS NOT NULL
  AND (contract, item, price_fluid, day) NOT IN (SELECT (contract, item, price_fluid, day) FROM tier_day);
