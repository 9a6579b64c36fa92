-- Invoice lines in the order in which they claim evidence: by the first day of their invoice, then by invoice and line.
-- `bill_no` tells that order, with gaps. All of it rests on the papers alone and is kept until they change.
CREATE OR REPLACE TEMP TABLE bill AS
WITH newest AS (
  SELECT obs_no, contract, invoice, line, item AS item_text, aircraft, from_on,
    greatest(from_on, coalesce(to_on, from_on)) AS to_on, ticket, val.ticket_key(ticket) AS ticket_key, fluid,
    quantity, unit_price, amount
  FROM obs.invoice_line WHERE fate = 'accepted'
  QUALIFY row_number() OVER (PARTITION BY contract, invoice, line ORDER BY obs_no DESC) = 1),
-- Names are few, and lines many: what rests on a name alone is made once for each.
item_name AS (SELECT item_text, contracts.item_key(item_text) AS item FROM (SELECT DISTINCT item_text FROM newest)),
invoice_place AS (
  SELECT contract, invoice, row_number() OVER (ORDER BY min(from_on), contracts.natural_key(invoice), invoice, contract) AS place
  FROM newest GROUP BY contract, invoice),
line_place AS (
  SELECT line, row_number() OVER (ORDER BY contracts.natural_key(line), line) AS place FROM (SELECT DISTINCT line FROM newest)),
keyed AS (
  SELECT b.*, i.item, v.place AS invoice_place, l.place AS line_place
  FROM newest b JOIN item_name i ON i.item_text IS NOT DISTINCT FROM b.item_text
  JOIN invoice_place v ON v.contract IS NOT DISTINCT FROM b.contract AND v.invoice IS NOT DISTINCT FROM b.invoice
  JOIN line_place l ON l.line IS NOT DISTINCT FROM b.line)
SELECT b.invoice_place * 1000000000 + b.line_place AS bill_no,
  b.* EXCLUDE (invoice_place, line_place), p.item_no, p.kind, d.currency, d.tolerance_pct, d.emergency_rule, b.item LIKE 'gallon-%' AS is_gallons, b.quantity < 0 AS is_credit,
  CASE
    WHEN d.contract IS NULL THEN format('contract {} is not on record', b.contract)
    WHEN p.item IS NULL THEN format('{} is not an item of contract {}', b.item_text, b.contract)
    WHEN b.aircraft IS NOT NULL AND a.aircraft IS NULL THEN format('{} is not an aircraft of contract {}', b.aircraft, b.contract)
    WHEN b.fluid IS NOT NULL AND NOT list_has_any(p.fluids, ['', b.fluid]) THEN format('contract {} has no price for {} of {}', b.contract, b.item, b.fluid)
    END AS off_contract,
  b.from_on > d.ends_on OR b.to_on < d.starts_on AS is_outside,
  NULL::BIGINT AS cancelled_by
FROM keyed b LEFT JOIN deal d ON d.contract = b.contract
LEFT JOIN priced_item p ON p.contract = b.contract AND p.item = b.item
LEFT JOIN deal_aircraft a ON a.contract = b.contract AND a.aircraft = b.aircraft;

-- A credit note that takes back a whole line cancels it: the line then claims nothing, and may be billed anew.
UPDATE bill SET cancelled_by = c.credit_no FROM (
  WITH keyed AS (
    SELECT bill_no, is_credit, (contract, item, coalesce(aircraft, ''), abs(quantity), abs(amount),
      coalesce(ticket_key, from_on::VARCHAR || to_on::VARCHAR)) AS key
    FROM bill WHERE quantity <> 0 AND sign(quantity) = sign(amount)
      AND (contract, item) IN (SELECT (contract, item) FROM bill WHERE is_credit)),
  ranked AS (SELECT *, row_number() OVER (PARTITION BY is_credit, key ORDER BY CASE WHEN is_credit THEN bill_no ELSE -bill_no END) AS place FROM keyed)
  SELECT l.bill_no, n.bill_no AS credit_no FROM ranked l JOIN ranked n ON n.key = l.key AND n.place = l.place AND n.is_credit AND NOT l.is_credit) c
WHERE bill.bill_no = c.bill_no;

DELETE FROM contracts.bill;
INSERT INTO contracts.bill
SELECT *, contracts.line_subject(contract, invoice, line) FROM bill ORDER BY bill_no;
