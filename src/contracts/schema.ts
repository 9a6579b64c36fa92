import { macros } from './macros.ts'

/**
 * `contracts`: invoice lines held against the account. Quantities have six decimals, amounts are in the currency of their
 * contract and are never added across currencies. All of it is made from the registry and the account by `reconcile`.
 */
const tables = `
CREATE SCHEMA IF NOT EXISTS contracts;
-- One row per invoice line. finding is the primary one, findings begins with it; evidence_quantity is what the records
-- bear out before tolerance, let_go_quantity what of it was let go in an emergency or jettison.
CREATE TABLE IF NOT EXISTS contracts.line(
  contract VARCHAR, invoice VARCHAR, line VARCHAR, item VARCHAR, aircraft VARCHAR, currency VARCHAR, from_on DATE, to_on DATE,
  season VARCHAR, ticket VARCHAR, fluid VARCHAR, finding VARCHAR, findings VARCHAR[], billed_quantity DECIMAL(18,6),
  supported_quantity DECIMAL(18,6), evidence_quantity DECIMAL(18,6), let_go_quantity DECIMAL(18,6), emergency_rule VARCHAR,
  billed_price DECIMAL(18,6), contract_price DECIMAL(18,6), billed_amount DECIMAL(18,2), supported_amount DECIMAL(18,2),
  difference_amount DECIMAL(18,2), message VARCHAR, evidence VARCHAR[]);
-- Work that no line bills, one row per contract, item, aircraft and day of the contract.
CREATE TABLE IF NOT EXISTS contracts.unbilled(
  contract VARCHAR, item VARCHAR, aircraft VARCHAR, day DATE, season VARCHAR, currency VARCHAR, fluid VARCHAR,
  quantity DECIMAL(18,6), let_go_quantity DECIMAL(18,6), emergency_rule VARCHAR, amount DECIMAL(18,2), evidence VARCHAR[]);
-- What was loaded at each base and priced by the loaded gallon, by aircraft and day of the contract.
CREATE TABLE IF NOT EXISTS contracts.loaded_on_day(
  base VARCHAR, contract VARCHAR, aircraft VARCHAR, day DATE, season VARCHAR, currency VARCHAR, unit_price DECIMAL(18,6), loads BIGINT,
  gallons DECIMAL(38,6));
-- Lines as the papers have them, in the order in which they claim evidence; made again when the papers change.
CREATE TABLE IF NOT EXISTS contracts.bill(
  bill_no BIGINT, obs_no BIGINT, contract VARCHAR, invoice VARCHAR, line VARCHAR, item_text VARCHAR, aircraft VARCHAR, from_on DATE,
  to_on DATE, ticket VARCHAR, ticket_key VARCHAR, fluid VARCHAR, quantity DECIMAL(18,6), unit_price DECIMAL(18,6), amount DECIMAL(18,2),
  item VARCHAR, item_no INTEGER, kind VARCHAR, currency VARCHAR, tolerance_pct DECIMAL(9,6), emergency_rule VARCHAR, is_gallons BOOLEAN,
  is_credit BOOLEAN, off_contract VARCHAR, is_outside BOOLEAN, cancelled_by BIGINT, subject VARCHAR);
CREATE TABLE IF NOT EXISTS contracts.finding(
  finding_id VARCHAR, finding VARCHAR, severity VARCHAR, subject VARCHAR, happened_at TIMESTAMP, message VARCHAR,
  evidence VARCHAR[], aircraft VARCHAR, tank VARCHAR);
`

const views = `
CREATE OR REPLACE MACRO contracts.plain(number) AS rtrim(rtrim(number::DECIMAL(38,6)::VARCHAR, '0'), '.');
-- A quantity as people say it; the exact one is in its column.
CREATE OR REPLACE MACRO contracts.said(number) AS contracts.plain(round(number::DECIMAL(38,6), 2));
-- An amount in words keeps both its decimals; \`format\` alone would say it as a float.
CREATE OR REPLACE MACRO contracts.money(amount) AS amount::DECIMAL(38,2)::VARCHAR;

-- What was loaded at each base and priced by the loaded gallon, at contract prices.
CREATE OR REPLACE VIEW contracts.loaded_at_base AS
  SELECT base, contract, season, currency, sum(loads)::BIGINT AS loads, sum(gallons)::DECIMAL(18,6) AS gallons,
    contracts.cents(sum(contracts.times(gallons, unit_price))) AS amount
  FROM contracts.loaded_on_day GROUP BY base, contract, season, currency;

-- What stands behind each line: kind and id as in the evidence of any record.
CREATE OR REPLACE VIEW contracts.evidence AS
  SELECT contract, invoice, line, split_part(ref, ':', 1) AS kind, ref[strpos(ref, ':') + 1:] AS id
  FROM (SELECT contract, invoice, line, unnest(evidence) AS ref FROM contracts.line);

-- The newest word on each line, agreed with the other party or not.
CREATE OR REPLACE VIEW contracts.note AS
  SELECT payload ->> 'contract' AS contract, payload ->> 'invoice' AS invoice, payload ->> 'line' AS line,
    payload ->> 'state' AS note_state, made_by AS note_by, reason AS note_reason
  FROM raw.amendment WHERE action = 'invoice-note' AND undone_by IS NULL
  QUALIFY row_number() OVER (PARTITION BY payload ->> 'contract', payload ->> 'invoice', payload ->> 'line' ORDER BY amendment_no DESC) = 1;
`

export const schemaSql: string = [tables, macros, views].join('\n')
