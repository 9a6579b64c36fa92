-- What each line claims, and whose claim on each unit goes first: tickets before dates, then the order of the lines.
-- The larger side of a join stands first throughout: of rows this young the planner knows no number.
CREATE OR REPLACE TEMP VIEW live AS
SELECT * FROM bill WHERE NOT is_credit AND cancelled_by IS NULL AND off_contract IS NULL AND NOT coalesce(is_outside, false);

CREATE OR REPLACE TEMP TABLE ticket_hit AS
SELECT b.bill_no, u.work_no, u.term_no, coalesce(u.fill, u.id) AS fill, u.is_inside, u.price_no, u.day
FROM seen u JOIN live b ON b.item_no = u.item_no AND b.ticket_key = u.ticket_key JOIN term t ON t.term_no = u.term_no
WHERE b.is_gallons AND (b.aircraft IS NULL OR t.plane = b.aircraft) AND u.day BETWEEN b.from_on - 31 AND b.to_on + 31
QUALIFY row_number() OVER (PARTITION BY b.bill_no
  ORDER BY greatest(0, b.from_on - u.day, u.day - b.to_on), u.happened_at, u.id, u.work_no) = 1;

-- Loads whose ticket nobody handed in: they bear out lines whose ticket is not on record, where there are enough of them
-- and the gallons agree.
CREATE OR REPLACE TEMP TABLE no_ticket_hit AS
WITH lost AS (
  SELECT b.bill_no, t.term_no, b.from_on AS day, b.quantity, b.tolerance_pct,
    row_number() OVER (PARTITION BY t.term_no, b.from_on ORDER BY b.quantity, b.bill_no) AS place,
    count(*) OVER (PARTITION BY t.term_no, b.from_on) AS lines
  FROM live b JOIN term t ON t.item_no = b.item_no AND t.plane = b.aircraft
  WHERE b.item = 'gallon-loaded' AND b.ticket_key IS NOT NULL AND b.from_on = b.to_on AND b.bill_no NOT IN (SELECT bill_no FROM ticket_hit)),
bare AS (
  SELECT term_no, day, work_no, id, quantity,
    row_number() OVER (PARTITION BY term_no, day ORDER BY quantity, happened_at, id) AS place,
    count(*) OVER (PARTITION BY term_no, day) AS loads
  FROM seen SEMI JOIN lost USING (term_no, day) WHERE ticket_key IS NULL AND is_inside AND price_no IS NOT NULL)
SELECT l.bill_no, b.work_no, b.term_no, b.id AS fill
FROM lost l JOIN bare b ON b.term_no = l.term_no AND b.day = l.day AND b.place = l.place
WHERE l.lines <= b.loads AND abs(l.quantity - b.quantity) <= contracts.times(b.quantity, l.tolerance_pct) / 100 + 0.0005;

-- Lines that claim the same units form a group and share its pool. A load has the number of its part of the fill, drops
-- go by the load behind them.
CREATE OR REPLACE TEMP TABLE claimant AS
WITH hit AS (
  SELECT bill_no, work_no, term_no, fill FROM ticket_hit WHERE is_inside AND price_no IS NOT NULL
  UNION ALL SELECT bill_no, work_no, term_no, fill FROM no_ticket_hit),
keyed AS (
  SELECT b.*, h.work_no, h.term_no, h.fill, CASE
      WHEN h.bill_no IS NULL THEN concat_ws('|', 'dates', b.item_no, coalesce(b.aircraft, '*'), b.from_on, b.to_on, coalesce(b.fluid, '*'))
      ELSE concat_ws('|', 'ticket', b.item_no, CASE WHEN b.kind = 'load' THEN h.work_no::VARCHAR ELSE h.fill END) END AS group_key,
    h.bill_no IS NULL AS is_by_date
  FROM live b LEFT JOIN hit h ON h.bill_no = b.bill_no
  WHERE h.bill_no IS NOT NULL OR NOT (b.is_gallons AND b.ticket_key IS NOT NULL)),
numbered AS (SELECT *, min(bill_no) OVER (PARTITION BY group_key) AS group_no FROM keyed)
SELECT bill_no, group_no, is_by_date, contract, item_no, item, kind, aircraft, from_on, to_on, fluid, work_no, term_no, fill, quantity, tolerance_pct, is_gallons
FROM numbered;

-- The first line of a group claims for all of it: days, loads, or what was dropped of loads.
CREATE OR REPLACE TEMP VIEW leader AS SELECT * FROM claimant WHERE bill_no = group_no;
CREATE OR REPLACE TEMP TABLE day_claim AS
SELECT l.group_no, t.term_no, l.kind, l.fluid,
  unnest(generate_series(greatest(l.from_on, t.starts_on), least(l.to_on, t.ends_on), INTERVAL 1 DAY))::DATE AS day
FROM leader l JOIN term t ON t.item_no = l.item_no AND (l.aircraft IS NULL OR t.plane = l.aircraft)
WHERE l.is_by_date AND l.item <> 'fixed';
CREATE OR REPLACE TEMP TABLE load_claim AS
SELECT group_no, kind, work_no, term_no FROM leader WHERE NOT is_by_date AND kind = 'load';
CREATE OR REPLACE TEMP TABLE drop_claim AS
SELECT group_no, kind, item_no, fill FROM leader WHERE NOT is_by_date AND kind = 'drop';

CREATE OR REPLACE TEMP TABLE claim AS
WITH payable AS NOT MATERIALIZED (SELECT * FROM seen WHERE is_inside AND price_no IS NOT NULL)
SELECT c.group_no, u.work_no, true AS is_by_date, c.kind, u.id, u.happened_at, u.quantity, u.let_go
FROM payable u JOIN day_claim c ON c.term_no = u.term_no AND c.day = u.day AND (c.fluid IS NULL OR u.fluid IS NULL OR u.fluid = c.fluid)
UNION ALL
SELECT c.group_no, u.work_no, false, c.kind, u.id, u.happened_at, u.quantity, u.let_go
FROM payable u JOIN load_claim c ON c.work_no = u.work_no AND c.term_no = u.term_no
UNION ALL
SELECT c.group_no, u.work_no, false, c.kind, u.id, u.happened_at, u.quantity, u.let_go
FROM payable u JOIN drop_claim c ON c.item_no = u.item_no AND c.fill = u.fill;

CREATE OR REPLACE TEMP TABLE owned AS
WITH first_claim AS (SELECT work_no, coalesce(min(group_no) FILTER (NOT is_by_date), min(group_no)) AS group_no FROM claim GROUP BY work_no)
SELECT f.work_no, f.group_no, b.item_no FROM first_claim f JOIN bill b ON b.bill_no = f.group_no;

-- Who may ask to be paid for work that no line claims, where an aircraft is on several contracts at once: the one that
-- its availability names, else the one that began last.
CREATE OR REPLACE TEMP TABLE holder AS
WITH combo AS (
  SELECT DISTINCT u.term_no, u.day FROM seen u SEMI JOIN (FROM term WHERE is_contested) t ON t.term_no = u.term_no
  WHERE u.is_inside AND u.price_no IS NOT NULL),
named AS (SELECT DISTINCT aircraft, day, contract FROM obs.availability WHERE fate = 'accepted' AND contract IS NOT NULL)
SELECT c.term_no, c.day FROM combo c JOIN term t ON t.term_no = c.term_no
LEFT JOIN named n ON n.aircraft = t.plane AND n.day = c.day AND n.contract = t.contract
QUALIFY row_number() OVER (PARTITION BY t.item, t.plane, c.day ORDER BY n.contract IS NULL, t.starts_on DESC, t.contract DESC) = 1;

-- Every piece of work under the one contract that it is billed on, or could be. Work has one item whatever the contract,
-- so the item number of its claim tells the contract.
CREATE OR REPLACE TEMP VIEW counted AS
SELECT u.*, o.group_no
FROM seen u LEFT JOIN owned o ON o.work_no = u.work_no
JOIN term t ON t.term_no = u.term_no LEFT JOIN holder h ON h.term_no = u.term_no AND h.day = u.day
WHERE u.is_inside AND u.price_no IS NOT NULL AND u.quantity > 0
  AND (o.item_no = u.item_no OR (o.item_no IS NULL AND (NOT t.is_contested OR h.term_no IS NOT NULL)));

CREATE OR REPLACE TEMP TABLE pool AS
SELECT c.group_no, count(*) AS claimed, count(*) FILTER (o.group_no = c.group_no) AS owned,
  coalesce(sum(c.quantity) FILTER (o.group_no = c.group_no), 0)::DECIMAL(38,6) AS quantity,
  coalesce(sum(c.let_go) FILTER (o.group_no = c.group_no), 0)::DECIMAL(38,6) AS let_go,
  list_sort(list(c.kind || ':' || c.id)) AS evidence,
  min(o.group_no) FILTER (o.group_no <> c.group_no) AS other_group
FROM claim c LEFT JOIN owned o ON o.work_no = c.work_no
GROUP BY c.group_no
UNION ALL
-- A fixed item rests on the contract itself: the first line is borne out as billed, the same again is a duplicate.
SELECT f.group_no, 1, 1, f.quantity::DECIMAL(38,6), 0, [], NULL FROM claimant f
WHERE f.item = 'fixed' AND f.bill_no = f.group_no
  AND EXISTS (SELECT 1 FROM tier_day t WHERE t.contract = f.contract AND t.item = 'fixed' AND t.day = f.from_on);
