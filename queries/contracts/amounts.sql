-- What the evidence of each line comes to at the contract's prices. `slice` says which part of its group's pool a line has.
CREATE OR REPLACE TEMP TABLE segment AS
SELECT c.work_no, c.group_no, c.contract, c.item, c.aircraft, c.day, c.season, c.base, 0::DECIMAL(38,6) AS at_from, c.quantity::DECIMAL(38,6) AS at_to, t.unit_price
FROM counted c JOIN tier_day t ON t.contract = c.contract AND t.item = c.item AND t.price_fluid = c.price_fluid AND t.day = c.day
WHERE NOT t.is_tiered
UNION ALL
SELECT c.work_no, c.group_no, c.contract, c.item, c.aircraft, c.day, c.season, c.base, greatest(c.run_from, t.tier_from) - c.run_from, least(c.run_from + c.quantity, t.tier_to) - c.run_from, t.unit_price
FROM run_at c
JOIN tier_day t ON t.contract = c.contract AND t.item = c.item AND t.price_fluid = c.price_fluid AND t.day = c.day
  AND t.tier_from < c.run_from + c.quantity AND c.run_from < t.tier_to;

CREATE OR REPLACE TEMP TABLE stretch AS
WITH every AS (
  SELECT p.group_no, p.pool_from + s.at_from AS from_quantity, p.pool_from + s.at_to AS to_quantity, s.unit_price
  FROM segment s JOIN pool_at p ON p.work_no = s.work_no
  UNION ALL
  SELECT c.group_no, 0, 1, t.unit_price FROM claimant c
  JOIN tier_day t ON t.contract = c.contract AND t.item = c.item AND t.day = c.from_on AND t.tier = 1
  WHERE c.item = 'fixed' AND c.bill_no = c.group_no AND t.price_fluid IN ('', coalesce(c.fluid, ''))
  QUALIFY row_number() OVER (PARTITION BY c.group_no ORDER BY t.price_fluid DESC) = 1)
SELECT group_no, from_quantity, unit_price,
  CASE WHEN lead(from_quantity) OVER run IS NULL THEN 1000000000000000 ELSE to_quantity END::DECIMAL(38,6) AS to_quantity
FROM every WINDOW run AS (PARTITION BY group_no ORDER BY from_quantity, to_quantity);

CREATE OR REPLACE TEMP TABLE valued AS
WITH line AS (
  SELECT c.bill_no, c.group_no, s.at_from, s.evidence, s.is_duplicate, s.is_within, c.quantity::DECIMAL(38,6) AS billed,
    CASE WHEN s.is_within THEN c.quantity ELSE s.evidence END::DECIMAL(38,6) AS supported
  FROM claimant c JOIN slice s ON s.bill_no = c.bill_no),
part AS (
  SELECT l.bill_no, t.unit_price,
    greatest(0, least(t.to_quantity, l.at_from + l.supported) - greatest(t.from_quantity, l.at_from)) AS supported,
    greatest(0, least(t.to_quantity, l.at_from + l.billed) - greatest(t.from_quantity, l.at_from)) AS billed
  FROM line l JOIN stretch t ON t.group_no = l.group_no AND t.from_quantity < l.at_from + greatest(l.supported, l.billed) AND l.at_from < t.to_quantity),
summed AS (
  SELECT bill_no, contracts.cents(sum(contracts.times(supported, unit_price))) AS supported_amount,
    contracts.cents(sum(contracts.times(billed, unit_price))) AS expected_amount,
    count(DISTINCT unit_price) AS prices, min(unit_price) AS low_price, max(unit_price) AS high_price
  FROM part GROUP BY bill_no)
SELECT l.bill_no, l.group_no, l.evidence, l.is_duplicate, l.is_within, l.supported,
  coalesce(s.supported_amount, 0)::DECIMAL(18,2) AS supported_amount, s.expected_amount, coalesce(s.prices, 0) AS prices, s.low_price, s.high_price
FROM line l LEFT JOIN summed s ON s.bill_no = l.bill_no;
