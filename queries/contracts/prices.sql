-- The prices in force on every day that matters, tier by tier. Of prices that overlap in time the one that began last holds;
-- a tier reaches to where the next one begins, and the first from nothing.
CREATE OR REPLACE TEMP TABLE wanted_day AS
SELECT DISTINCT price_no, day FROM seen WHERE is_inside AND price_no IS NOT NULL;

CREATE OR REPLACE TEMP TABLE tier_day AS
WITH wanted AS (
  FROM wanted_day UNION
  SELECT n.price_no, b.from_on FROM bill b JOIN priced_fluid n ON n.contract = b.contract AND n.item = b.item),
valid AS (
  SELECT w.price_no, w.day, n.contract, n.item, n.price_fluid, n.is_tiered, p.unit_price, p.tier_from, p.starts_on
  FROM wanted w JOIN priced_fluid n ON n.price_no = w.price_no
  JOIN price p ON p.contract = n.contract AND p.item = n.item AND p.price_fluid = n.price_fluid AND w.day BETWEEN p.starts_on AND p.ends_on
  QUALIFY p.starts_on = max(p.starts_on) OVER (PARTITION BY w.price_no, w.day))
SELECT price_no, contract, item, price_fluid, day, unit_price, row_number() OVER up AS tier, is_tiered,
  CASE WHEN row_number() OVER up = 1 THEN 0 ELSE tier_from END::DECIMAL(38,6) AS tier_from,
  coalesce(lead(tier_from) OVER up, 1000000000000000)::DECIMAL(38,6) AS tier_to
FROM valid WINDOW up AS (PARTITION BY price_no, day ORDER BY tier_from);

-- Work on a day without a price cannot be paid for.
UPDATE seen SET price_no = NULL FROM (FROM wanted_day ANTI JOIN tier_day USING (price_no, day)) n
WHERE seen.is_inside AND seen.price_no = n.price_no AND seen.day = n.day;
