/**
 * Arithmetic and keys that the stages share. Amounts are exact decimals throughout: a product has twelve places and is
 * rounded once, half away from zero, so that a credit note cancels its line to the cent. What is absurdly dear is valued
 * at a thousand billion at most, so that one slip in a price stops nothing else.
 */
export const macros = `
CREATE OR REPLACE MACRO contracts.times(quantity, unit_price) AS quantity::DECIMAL(38,6) * unit_price::DECIMAL(18,6);
CREATE OR REPLACE MACRO contracts.cents(exact) AS round(greatest(-1000000000000000, least(1000000000000000, exact)), 2)::DECIMAL(18,2);
CREATE OR REPLACE MACRO contracts.in_millionths(quantity) AS (quantity::DECIMAL(38,6) * 1000000)::BIGINT;
CREATE OR REPLACE MACRO contracts.of_millionths(count) AS (count::DECIMAL(20,0) * 0.000001::DECIMAL(7,6))::DECIMAL(38,6);
-- Seconds in steps of an hour, in integers: half-up, up or down.
CREATE OR REPLACE MACRO contracts.steps(air_s, step_ms, rounding) AS
  CASE rounding WHEN 'up' THEN (air_s * 1000 + step_ms - 1) // step_ms WHEN 'down' THEN (air_s * 1000) // step_ms
    ELSE (air_s * 2000 + step_ms) // (2 * step_ms) END;
-- The fluid that work is priced by: its own, else '' for a price of any; unknown fluid where there is one price only.
CREATE OR REPLACE MACRO contracts.price_fluid(fluid, fluids) AS
  CASE WHEN list_contains(fluids, fluid) THEN fluid WHEN list_contains(fluids, '') THEN '' WHEN fluid IS NULL AND len(fluids) = 1 THEN fluids[1] END;
CREATE OR REPLACE MACRO contracts.name_key(name) AS regexp_replace(upper(name), '[^A-Z0-9]+', '', 'g');
CREATE OR REPLACE MACRO contracts.item_key(item) AS regexp_replace(regexp_replace(lower(trim(item)), '[^a-z0-9]+', '-', 'g'), 's$', '');
-- What a finding about a line, or about work that no line bills, is about.
CREATE OR REPLACE MACRO contracts.line_subject(contract, invoice, line) AS format('invoice {} line {} of contract {}', invoice, line, contract);
CREATE OR REPLACE MACRO contracts.work_subject(item, aircraft, contract, season) AS format('{} of {} on contract {}, season {}', item, aircraft, contract, season);
-- A text whose order is the one that people expect: INV-9 before INV-10.
CREATE OR REPLACE MACRO contracts.natural_key(name) AS
  CASE WHEN regexp_full_match(name, '[0-9]+') THEN lpad(name, 18, '0') ELSE
  array_to_string(list_transform(regexp_extract_all(name, '[0-9]+|[^0-9]+'), lambda x: CASE WHEN x[1] BETWEEN '0' AND '9' THEN lpad(x, 18, '0') ELSE x END), '') END;
`
