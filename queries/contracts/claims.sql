-- What each line claims, and whose claim on each unit goes first: tickets before dates, then the order of the lines.
CREATE OR REPLACE TEMP TABLE live AS
SELECT * FROM bill WHERE NOT is_credit AND cancelled_by IS NULL AND off_contract IS NULL AND NOT coalesce(is_outside, false);

CREATE OR REPLACE TEMP TABLE ticket_hit AS
SELECT b.bill_no, u.contract, u.item, CASE WHEN u.item = 'gallon-loaded' THEN u.id ELSE u.fill END AS fill,
  CASE WHEN u.item = 'gallon-loaded' THEN u.part ELSE 0 END AS part, u.is_inside,
  u.price_fluid, u.day, u.aircraft
FROM live b JOIN seen u ON u.contract = b.contract AND u.item = b.item AND u.ticket_key = b.ticket_key
  AND (b.aircraft IS NULL OR u.aircraft = b.aircraft) AND u.day BETWEEN b.from_on - 31 AND b.to_on + 31
WHERE b.is_gallons
QUALIFY row_number() OVER (PARTITION BY b.bill_no
  ORDER BY greatest(0, b.from_on - u.day, u.day - b.to_on), u.happened_at, u.id, u.part) = 1;

-- Loads whose ticket nobody handed in: they bear out lines whose ticket is not on record, where there are enough of them
-- and the gallons agree.
CREATE OR REPLACE TEMP TABLE no_ticket_hit AS
WITH lost AS (
  SELECT bill_no, contract, item, aircraft, from_on AS day, quantity, tolerance_pct,
    row_number() OVER (PARTITION BY contract, aircraft, from_on ORDER BY quantity, bill_no) AS place,
    count(*) OVER (PARTITION BY contract, aircraft, from_on) AS lines
  FROM live WHERE item = 'gallon-loaded' AND ticket_key IS NOT NULL AND from_on = to_on AND bill_no NOT IN (SELECT bill_no FROM ticket_hit)),
bare AS (
  SELECT contract, aircraft, day, id AS fill, part, quantity,
    row_number() OVER (PARTITION BY contract, aircraft, day ORDER BY quantity, happened_at, id) AS place,
    count(*) OVER (PARTITION BY contract, aircraft, day) AS loads
  FROM seen WHERE item = 'gallon-loaded' AND ticket_key IS NULL AND is_inside AND price_fluid IS NOT NULL)
SELECT l.bill_no, l.contract, l.item, b.fill, b.part
FROM lost l JOIN bare b ON b.contract = l.contract AND b.aircraft = l.aircraft AND b.day = l.day AND b.place = l.place
WHERE l.lines <= b.loads AND abs(l.quantity - b.quantity) <= b.quantity * l.tolerance_pct / 100 + 0.0005;

-- Lines that claim the same units form a group and share its pool.
CREATE OR REPLACE TEMP TABLE claimant AS
WITH hit AS (
  SELECT bill_no, contract, item, fill, part FROM ticket_hit WHERE is_inside AND price_fluid IS NOT NULL
  UNION ALL SELECT bill_no, contract, item, fill, part FROM no_ticket_hit),
keyed AS (
  SELECT b.*, h.fill, h.part, CASE
      WHEN h.bill_no IS NOT NULL THEN concat_ws('|', 'ticket', b.contract, b.item, h.fill, h.part)
      ELSE concat_ws('|', 'dates', b.contract, b.item, coalesce(b.aircraft, '*'), b.from_on, b.to_on, coalesce(b.fluid, '*')) END AS group_key,
    h.bill_no IS NULL AS is_by_date
  FROM live b LEFT JOIN hit h ON h.bill_no = b.bill_no
  WHERE h.bill_no IS NOT NULL OR NOT (b.is_gallons AND b.ticket_key IS NOT NULL)),
numbered AS (SELECT *, min(bill_no) OVER (PARTITION BY group_key) AS group_no FROM keyed)
SELECT bill_no, group_no, is_by_date, contract, item, aircraft, from_on, to_on, fluid, fill, part, quantity, tolerance_pct, is_gallons
FROM numbered;

CREATE OR REPLACE TEMP TABLE claim AS
WITH leader AS (SELECT * FROM claimant WHERE bill_no = group_no),
spread AS (
  SELECT l.group_no, l.contract, l.item, l.fluid, a.aircraft,
    unnest(generate_series(greatest(l.from_on, d.starts_on), least(l.to_on, d.ends_on), INTERVAL 1 DAY))::DATE AS day
  FROM leader l JOIN deal d ON d.contract = l.contract
  JOIN deal_aircraft a ON a.contract = l.contract AND (l.aircraft IS NULL OR a.aircraft = l.aircraft)
  WHERE l.is_by_date AND l.item <> 'fixed')
SELECT s.group_no, u.contract, u.work_no, true AS is_by_date, u.kind, u.id, u.part, u.happened_at, u.quantity, u.let_go
FROM spread s JOIN seen u ON u.contract = s.contract AND u.item = s.item AND u.aircraft = s.aircraft AND u.day = s.day
WHERE u.is_inside AND u.price_fluid IS NOT NULL AND (s.fluid IS NULL OR u.fluid IS NULL OR u.fluid = s.fluid)
UNION ALL
SELECT l.group_no, u.contract, u.work_no, false, u.kind, u.id, u.part, u.happened_at, u.quantity, u.let_go
FROM leader l JOIN seen u ON u.contract = l.contract AND u.item = l.item AND u.id = l.fill AND u.part = l.part
WHERE NOT l.is_by_date AND l.item = 'gallon-loaded' AND u.is_inside AND u.price_fluid IS NOT NULL
UNION ALL
SELECT l.group_no, u.contract, u.work_no, false, u.kind, u.id, u.part, u.happened_at, u.quantity, u.let_go
FROM leader l JOIN seen u ON u.contract = l.contract AND u.item = l.item AND u.fill = l.fill
WHERE NOT l.is_by_date AND l.item = 'gallon-delivered' AND u.is_inside AND u.price_fluid IS NOT NULL;

CREATE OR REPLACE TEMP TABLE owned AS
SELECT work_no, contract, group_no FROM claim
QUALIFY row_number() OVER (PARTITION BY work_no ORDER BY is_by_date, group_no) = 1;

-- Who may ask to be paid for work that no line claims, where an aircraft is on several contracts at once: the one that
-- its availability names, else the one that began last.
CREATE OR REPLACE TEMP TABLE holder AS
WITH combo AS (SELECT DISTINCT contract, item, aircraft, day FROM seen WHERE is_contested AND is_inside AND price_fluid IS NOT NULL),
named AS (SELECT DISTINCT aircraft, day, contract FROM obs.availability WHERE fate = 'accepted' AND contract IS NOT NULL)
SELECT c.* FROM combo c JOIN deal d ON d.contract = c.contract
LEFT JOIN named n ON n.aircraft = c.aircraft AND n.day = c.day AND n.contract = c.contract
QUALIFY row_number() OVER (PARTITION BY c.item, c.aircraft, c.day ORDER BY n.contract IS NULL, d.starts_on DESC, c.contract DESC) = 1;

UPDATE seen SET is_contested = false FROM holder h
WHERE seen.is_contested AND h.contract = seen.contract AND h.item = seen.item AND h.aircraft = seen.aircraft AND h.day = seen.day;

-- Every piece of work under the one contract that it is billed on, or could be.
CREATE OR REPLACE TEMP TABLE counted AS
SELECT u.work_no, u.contract, u.item, u.kind, u.id, u.part, u.aircraft, u.happened_at, u.day, u.season, u.fluid, u.base, u.let_go,
  u.quantity, u.price_fluid, o.group_no
FROM seen u LEFT JOIN owned o ON o.work_no = u.work_no
WHERE u.is_inside AND u.price_fluid IS NOT NULL AND u.quantity > 0 AND (o.contract = u.contract OR (o.contract IS NULL AND NOT u.is_contested));

-- Where a unit lies in the pool of its group: the group's units end to end in the order of their time.
CREATE OR REPLACE TEMP TABLE pool_at AS
WITH mine AS (
  SELECT c.group_no, c.work_no, c.quantity, c.happened_at, c.id, c.part FROM claim c JOIN owned o ON o.work_no = c.work_no AND o.group_no = c.group_no)
SELECT work_no, group_no, (sum(quantity) OVER (PARTITION BY group_no ORDER BY happened_at, id, part ROWS UNBOUNDED PRECEDING) - quantity)::DECIMAL(38,6) AS pool_from
FROM mine;

-- The quantity of its season before a unit, where the price depends on it.
CREATE OR REPLACE TEMP TABLE run_at AS
SELECT c.work_no, c.group_no, c.contract, c.item, c.aircraft, c.day, c.season, c.base, c.quantity, c.price_fluid,
  (sum(quantity) OVER (PARTITION BY contract, item, price_fluid, season ORDER BY happened_at, id, part ROWS UNBOUNDED PRECEDING) - quantity)::DECIMAL(38,6) AS run_from
FROM counted c SEMI JOIN tiered USING (contract, item, price_fluid);

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
