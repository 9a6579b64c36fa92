-- What the evidence of each line comes to at the contract's prices. `slice` says which part of its group's pool a line has.
-- The season's running quantity, where the price depends on it, day by day. Nearly every day lies in one tier whole; only
-- where a tier begins within a day (`is_split`) must its units be laid end to end.
CREATE OR REPLACE TEMP TABLE run_day AS
WITH summed AS (
  SELECT c.price_no, c.season, c.happened_at::DATE AS run_on, sum(c.quantity) AS quantity
  FROM counted c SEMI JOIN (FROM priced_fluid WHERE is_tiered) f ON f.price_no = c.price_no GROUP BY ALL),
laid AS (
  SELECT *, (sum(quantity) OVER (PARTITION BY price_no, season ORDER BY run_on ROWS UNBOUNDED PRECEDING))::DECIMAL(38,6) AS run_to FROM summed),
placed AS (SELECT price_no, season, run_on, run_to - quantity AS run_from, run_to FROM laid),
seam AS (SELECT DISTINCT price_no, tier_from FROM tier_day WHERE is_tiered)
SELECT p.*, EXISTS (SELECT 1 FROM seam s WHERE s.price_no = p.price_no AND s.tier_from > p.run_from AND s.tier_from < p.run_to) AS is_split
FROM placed p;

-- Who asks for each unit, and its price. Names and fluids stand only on unbilled work: nobody asks for them elsewhere.
CREATE OR REPLACE TEMP TABLE priced AS
SELECT c.work_no, c.group_no, c.term_no, c.day, c.season, c.base, CASE WHEN c.group_no IS NULL THEN c.id END AS id,
  CASE WHEN c.group_no IS NULL THEN c.fluid END AS fluid, c.let_go, c.quantity, t.unit_price, coalesce(r.is_split, false) AS is_split
FROM counted c
LEFT JOIN run_day r ON r.price_no = c.price_no AND r.season IS NOT DISTINCT FROM c.season AND r.run_on = c.happened_at::DATE
JOIN tier_day t ON t.price_no = c.price_no AND t.day = c.day AND t.tier_from <= coalesce(r.run_from, 0) AND t.tier_to > coalesce(r.run_from, 0);

CREATE OR REPLACE TEMP TABLE split_unit AS
WITH placed AS (
  SELECT c.*, (r.run_from + sum(c.quantity) OVER (PARTITION BY c.price_no, c.season, r.run_on
      ORDER BY c.happened_at, c.id, c.work_no ROWS UNBOUNDED PRECEDING) - c.quantity)::DECIMAL(38,6) AS run_from
  FROM counted c JOIN (FROM run_day WHERE is_split) r
    ON r.price_no = c.price_no AND r.season IS NOT DISTINCT FROM c.season AND r.run_on = c.happened_at::DATE)
SELECT p.work_no, p.group_no, p.term_no, p.day, p.season, p.base, greatest(p.run_from, t.tier_from) - p.run_from AS at_from,
  least(p.run_from + p.quantity, t.tier_to) - p.run_from AS at_to, t.unit_price
FROM placed p JOIN tier_day t ON t.price_no = p.price_no AND t.day = p.day
  AND t.tier_from < p.run_from + p.quantity AND p.run_from < t.tier_to;

-- The parts of every unit that have one price, from where to where in it.
CREATE OR REPLACE TEMP VIEW segment AS
SELECT work_no, group_no, term_no, day, season, base, 0::DECIMAL(38,6) AS at_from, quantity::DECIMAL(38,6) AS at_to, unit_price FROM priced WHERE NOT is_split
UNION ALL FROM split_unit;

-- The prices along the pool of each group: its units end to end in the order of their time. Mostly it is one price, and
-- then nobody needs to know where which unit lies.
CREATE OR REPLACE TEMP TABLE stretch AS
WITH group_price AS (
  SELECT group_no, min(unit_price) AS low_price, max(unit_price) AS high_price FROM segment WHERE group_no IS NOT NULL GROUP BY group_no),
mine AS (
  SELECT c.group_no, c.work_no, c.quantity, c.happened_at, c.id
  FROM claim c JOIN owned o ON o.work_no = c.work_no AND o.group_no = c.group_no
  SEMI JOIN (FROM group_price WHERE low_price <> high_price) g ON g.group_no = c.group_no),
pool_at AS (
  SELECT work_no, (sum(quantity) OVER (PARTITION BY group_no ORDER BY happened_at, id, work_no ROWS UNBOUNDED PRECEDING) - quantity)::DECIMAL(38,6) AS pool_from
  FROM mine),
mixed AS (
  SELECT s.group_no, p.pool_from + s.at_from AS from_quantity, p.pool_from + s.at_to AS to_quantity, s.unit_price
  FROM segment s JOIN pool_at p ON p.work_no = s.work_no)
SELECT group_no, 0::DECIMAL(38,6) AS from_quantity, low_price AS unit_price, 1000000000000000::DECIMAL(38,6) AS to_quantity
FROM group_price WHERE low_price = high_price
UNION ALL
SELECT group_no, from_quantity, unit_price,
  CASE WHEN lead(from_quantity) OVER run IS NULL THEN 1000000000000000 ELSE to_quantity END::DECIMAL(38,6)
FROM mixed WINDOW run AS (PARTITION BY group_no ORDER BY from_quantity, to_quantity)
UNION ALL
(SELECT c.group_no, 0, t.unit_price, 1000000000000000 FROM claimant c
JOIN tier_day t ON t.contract = c.contract AND t.item = c.item AND t.day = c.from_on AND t.tier = 1
WHERE c.item = 'fixed' AND c.bill_no = c.group_no AND t.price_fluid IN ('', coalesce(c.fluid, ''))
QUALIFY row_number() OVER (PARTITION BY c.group_no ORDER BY t.price_fluid DESC) = 1);

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
    min(unit_price) AS low_price, max(unit_price) AS high_price
  FROM part GROUP BY bill_no)
SELECT l.bill_no, l.group_no, l.evidence, l.is_duplicate, l.is_within, l.supported,
  coalesce(s.supported_amount, 0)::DECIMAL(18,2) AS supported_amount, s.expected_amount,
  CASE WHEN s.bill_no IS NULL THEN 0 WHEN s.low_price = s.high_price THEN 1 ELSE 2 END AS prices, s.low_price, s.high_price
FROM line l LEFT JOIN summed s ON s.bill_no = l.bill_no;
