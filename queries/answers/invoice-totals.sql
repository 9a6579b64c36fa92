-- title: Invoices, totals by contract
-- grain: one row per contract and currency
-- params: season, from, to, aircraft
-- columns:
--   contract      contract number
--   currency      currency of the contract
--   invoices      invoices on record
--   lines         their lines
--   billed        sum of the amounts billed
--   supported     sum of the amounts that the records bear out
--   difference    billed less supported
--   in_dispute    what is billed above what is supported, line by line
--   under_billed  what is billed below what is supported, line by line
--   unbilled      work on record that no line bills, at the contract's prices
-- note: Amounts of different currencies are not to be added.
WITH part AS (
  SELECT contract, currency, invoice, billed_amount, supported_amount, difference_amount, 0 AS unbilled, season, from_on, to_on, aircraft FROM contracts.line
  UNION ALL
  SELECT contract, currency, NULL, NULL, NULL, NULL, amount, season, day, day, aircraft FROM contracts.unbilled)
SELECT contract, currency, count(DISTINCT invoice) AS invoices, count(invoice) AS lines, coalesce(sum(billed_amount), 0)::DECIMAL(18,2) AS billed,
  coalesce(sum(supported_amount), 0)::DECIMAL(18,2) AS supported, coalesce(sum(difference_amount), 0)::DECIMAL(18,2) AS difference,
  coalesce(sum(greatest(difference_amount, 0)), 0)::DECIMAL(18,2) AS in_dispute,
  coalesce(sum(greatest(-difference_amount, 0)), 0)::DECIMAL(18,2) AS under_billed, sum(unbilled)::DECIMAL(18,2) AS unbilled
FROM part
WHERE ($season IS NULL OR season = $season OR year(from_on)::VARCHAR = $season)
  AND ($from IS NULL OR to_on >= $from::DATE) AND ($to IS NULL OR from_on <= $to::DATE)
  AND ($aircraft IS NULL OR aircraft = $aircraft)
GROUP BY contract, currency ORDER BY contract, currency
