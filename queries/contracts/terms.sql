-- Contracts and prices as they stand. A rule left blank is the usual one: hours to tenths, half-up, per flight; no tolerance.
CREATE OR REPLACE TEMP TABLE deal AS
SELECT number AS contract, starts_on, ends_on, aircraft, currency,
  coalesce(volume_tolerance_pct, 0)::DECIMAL(9,6) AS tolerance_pct,
  coalesce(hours_step, 0.1)::DECIMAL(9,6) AS hours_step, round(coalesce(hours_step, 0.1) * 3600000)::BIGINT AS step_ms,
  coalesce(hours_rounding, 'half-up') AS hours_rounding, coalesce(hours_per, 'flight') AS hours_per, emergency_rule,
  CASE WHEN zone IN (SELECT name FROM pg_timezone_names()) THEN zone END AS zone, zone AS zone_text, obs_no
FROM obs.contract WHERE fate = 'accepted'
QUALIFY row_number() OVER (PARTITION BY number ORDER BY obs_no DESC) = 1;

-- Days of work that a contract's lines can rest on: its period and the days that they bill, and a month beside them.
CREATE OR REPLACE TEMP TABLE deal_reach AS
SELECT d.contract, least(d.starts_on, coalesce(min(l.from_on), d.starts_on)) - 32 AS reach_from,
  greatest(d.ends_on, coalesce(max(greatest(l.from_on, l.to_on)), d.ends_on)) + 32 AS reach_to
FROM deal d LEFT JOIN obs.invoice_line l ON l.contract = d.contract AND l.fate = 'accepted'
GROUP BY d.contract, d.starts_on, d.ends_on;

CREATE OR REPLACE TEMP TABLE deal_aircraft AS
WITH spelt AS (
  SELECT registration AS aircraft, registration AS spelling FROM obs.aircraft WHERE fate = 'accepted'
  UNION SELECT registration, unnest(aliases) FROM obs.aircraft WHERE fate = 'accepted'),
known AS (
  SELECT contracts.name_key(spelling) AS spelling, min(aircraft) AS aircraft FROM spelt GROUP BY 1 HAVING count(DISTINCT aircraft) = 1)
SELECT DISTINCT d.contract, coalesce(k.aircraft, trim(d.name)) AS aircraft
FROM (SELECT contract, unnest(aircraft) AS name FROM deal) d LEFT JOIN known k ON k.spelling = contracts.name_key(d.name);

-- `price_fluid` is '' where a price holds for any fluid.
CREATE OR REPLACE TEMP TABLE price AS
SELECT contract, item, coalesce(fluid, '') AS price_fluid, unit_price, coalesce(from_quantity, 0)::DECIMAL(18,6) AS tier_from,
  coalesce(starts_on, DATE '0001-01-01') AS starts_on, coalesce(ends_on, DATE '9999-12-31') AS ends_on
FROM obs.rate WHERE fate = 'accepted'
QUALIFY row_number() OVER (PARTITION BY contract, item, fluid, starts_on, from_quantity ORDER BY obs_no DESC) = 1;

CREATE OR REPLACE TEMP TABLE priced_item AS
SELECT row_number() OVER (ORDER BY contract, item)::INTEGER AS item_no, contract, item, CASE item WHEN 'gallon-loaded' THEN 'load' WHEN 'gallon-delivered' THEN 'drop'
    WHEN 'flight-hour' THEN 'flight' WHEN 'availability-day' THEN 'obs' END AS kind, list(DISTINCT price_fluid ORDER BY price_fluid) AS fluids
FROM price GROUP BY contract, item;

CREATE OR REPLACE TEMP TABLE priced_fluid AS
SELECT row_number() OVER (ORDER BY contract, item, price_fluid)::INTEGER AS price_no, contract, item, price_fluid,
  count(*) > count(DISTINCT starts_on) AS is_tiered
FROM price GROUP BY contract, item, price_fluid;
