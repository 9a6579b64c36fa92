-- title: Cost of delivery
-- grain: one row per contract with invoices
-- params: season, from, to, aircraft
-- columns:
--   contract              contract number
--   currency              its currency; amounts of two currencies are never added
--   billed                billed on the invoices on record
--   gallons               US gal of fire drops by its aircraft on the days that the invoices cover
--   cost_per_gallon       billed by gallons
--   drops                 those drops
--   observed_chains       line by observers, chains of 66 ft, where they judged it
--   bound_chains          theoretical upper bound of line at the set coverage, chains
--   cost_per_bound_chain  billed by the upper bound, so a lower bound of the cost of a chain
--   first_day             first day that the invoices cover
--   last_day              last day that the invoices cover
--   drops_without_volume  drops whose volume nobody knows; they add no gallons
-- note: Everything billed counts, availability and flight time too, agreed or not; invoice-findings shows what is in question.
-- note: aircraft keeps the lines that name it; lines that name none are then left out.
WITH seen AS (
  -- What observers said of a drop, without what outcomes know of it besides.
  SELECT "drop", arg_max(line_ft, assessed_at) AS line_ft FROM effectiveness.assessment WHERE "drop" IS NOT NULL GROUP BY "drop"),
billed AS (
  SELECT contract, any_value(currency) AS currency, sum(billed_amount) AS billed, min(from_on) AS first_day,
    max(coalesce(to_on, from_on)) AS last_day
  FROM contracts.line
  WHERE ($season IS NULL OR season = $season OR year(from_on)::VARCHAR = $season)
    AND ($from IS NULL OR coalesce(to_on, from_on) >= $from::DATE) AND ($to IS NULL OR from_on <= $to::DATE)
    AND ($aircraft IS NULL OR aircraft = $aircraft)
  GROUP BY contract),
held AS (
  SELECT DISTINCT number AS contract, unnest(aircraft) AS aircraft FROM (
    SELECT number, aircraft FROM obs.contract WHERE fate = 'accepted'
    QUALIFY row_number() OVER (PARTITION BY number ORDER BY obs_no DESC) = 1)),
delivered AS (
  SELECT b.contract, count(*)::INTEGER AS drops, sum(d.volume_gal::DECIMAL(38,9))::DOUBLE AS gallons,
    sum(o.line_ft::DECIMAL(38,9))::DOUBLE / 66 AS observed_chains,
    sum((100 * d.volume_gal / nullif(d.coverage_level * k.pattern_width_ft, 0))::DECIMAL(38,9))::DOUBLE / 66 AS bound_chains,
    (count(*) FILTER (WHERE d.volume_gal IS NULL))::INTEGER AS drops_without_volume
  FROM billed b JOIN held h ON h.contract = b.contract
  JOIN answers.drops_in($season, $from, $to, $aircraft, NULL, NULL, NULL, NULL) d
    ON d.aircraft = h.aircraft AND d.purpose = 'fire' AND d.operating_day BETWEEN b.first_day AND b.last_day
  LEFT JOIN account.tank k ON k.tank = d.tank LEFT JOIN seen o ON o."drop" = d."drop"
  GROUP BY b.contract)
SELECT b.contract, b.currency, b.billed::DECIMAL(18,2) AS billed, coalesce(d.gallons, 0) AS gallons,
  (b.billed / nullif(d.gallons, 0))::DECIMAL(18,2) AS cost_per_gallon, coalesce(d.drops, 0) AS drops, d.observed_chains, d.bound_chains,
  (b.billed / nullif(d.bound_chains, 0))::DECIMAL(18,2) AS cost_per_bound_chain, b.first_day, b.last_day,
  coalesce(d.drops_without_volume, 0) AS drops_without_volume
FROM billed b LEFT JOIN delivered d ON d.contract = b.contract
ORDER BY b.billed DESC, b.contract
