-- The work on record, unit by unit, as each contract sees it: its day, its payable quantity, the fluid it is priced by.
-- One row per piece of work and contract that lists its aircraft and prices it. Contract, item, aircraft and price are
-- numbers here (`term_no`, `item_no`, `price_no`): there are very many units and few of those.
CREATE OR REPLACE TEMP TABLE term AS
WITH listed AS (SELECT a.aircraft AS plane, d.* FROM deal d JOIN deal_aircraft a ON a.contract = d.contract),
-- Several contracts list the aircraft at once: who may ask for unbilled work has to be found out.
contested AS (
  SELECT DISTINCT l.contract, l.plane FROM listed l JOIN listed e ON e.plane = l.plane
  WHERE e.contract <> l.contract AND e.starts_on <= l.ends_on AND e.ends_on >= l.starts_on)
SELECT row_number() OVER (ORDER BY p.item_no, l.plane)::INTEGER AS term_no, l.*, r.reach_from, r.reach_to, p.item_no, p.item, p.kind, p.fluids,
  c.plane IS NOT NULL AS is_contested
FROM listed l JOIN priced_item p ON p.contract = l.contract JOIN deal_reach r ON r.contract = l.contract
LEFT JOIN contested c ON c.contract = l.contract AND c.plane = l.plane
WHERE is_asked_plane(l.plane) AND is_asked_item(p.item);

-- What each fluid on record is priced by under each term.
CREATE OR REPLACE TEMP TABLE fluid_price AS
SELECT t.term_no, f.fluid, n.price_no
FROM term t CROSS JOIN (SELECT fluid FROM account.load WHERE is_asked_plane(aircraft) AND is_asked_at(loaded_at)
  UNION SELECT fluid FROM account."drop" WHERE is_asked_plane(aircraft) AND is_asked_at(dropped_at)
  UNION SELECT NULL) f
JOIN priced_fluid n ON n.contract = t.contract AND n.item = t.item AND n.price_fluid = contracts.price_fluid(f.fluid, t.fluids);

CREATE OR REPLACE TEMP TABLE let_go AS
SELECT load, sum(volume_gal::DECIMAL(18,6)) AS gallons FROM account."drop"
WHERE is_asked_plane(aircraft) AND is_asked_since(dropped_at) AND purpose IN ('emergency', 'jettison') AND load IS NOT NULL AND volume_gal IS NOT NULL GROUP BY load;

CREATE OR REPLACE TEMP TABLE zone_hour AS
SELECT zone, hour, timezone(zone, timezone('UTC', hour)) - hour AS shift
FROM (SELECT DISTINCT zone FROM term WHERE zone IS NOT NULL) CROSS JOIN (
  SELECT date_trunc('hour', loaded_at) AS hour FROM account.load WHERE is_asked_plane(aircraft) AND is_asked_at(loaded_at)
  UNION SELECT date_trunc('hour', dropped_at) FROM account."drop" WHERE is_asked_plane(aircraft) AND is_asked_at(dropped_at)
  UNION SELECT date_trunc('hour', off_at) FROM account.flight WHERE is_asked_plane(aircraft) AND is_asked_at(off_at));

CREATE OR REPLACE TEMP TABLE season_of AS
SELECT name, starts_on, ends_on FROM obs.season WHERE fate = 'accepted'
QUALIFY row_number() OVER (PARTITION BY name ORDER BY obs_no DESC) = 1;

-- Drops whose lines may name the load's ticket: only where there are such lines. A load may be older than its drops.
CREATE OR REPLACE TEMP TABLE drop_ticket AS
SELECT load, val.ticket_key(split_part(ticket, '; ', 1)) AS ticket_key FROM ledger.load
WHERE ticket IS NOT NULL AND is_asked_plane(aircraft) AND EXISTS (SELECT 1 FROM obs.invoice_line WHERE fate = 'accepted' AND ticket IS NOT NULL AND contracts.item_key(item) = 'gallon-delivered');

-- work_no: the same piece of work under every contract, made of the row's own number (nothing lasting rests on it); the
-- parts of one fill follow one another. fill: the load behind a drop.
CREATE OR REPLACE TEMP TABLE seen(
  work_no BIGINT, term_no INTEGER, item_no INTEGER, price_no INTEGER, id VARCHAR, fill VARCHAR, happened_at TIMESTAMP, day DATE,
  season VARCHAR, fluid VARCHAR, ticket_key VARCHAR, base VARCHAR, let_go DECIMAL(18,6), quantity DECIMAL(18,6), is_inside BOOLEAN);

-- Loads. A fill that two tickets sum to is two units, each of its own ticket's volume.
CREATE OR REPLACE TEMP TABLE split_load AS
SELECT load FROM ledger.load WHERE contains(ticket, '; ') AND is_asked_at(loaded_at) AND is_asked_plane(aircraft);

INSERT INTO seen
WITH one AS (
  SELECT a.rowid * 32 AS work_no, a.load, 0 AS part, a.aircraft, a.loaded_at, a.operating_day, a.season, a.fluid, a.base,
    val.ticket_key(l.ticket) AS ticket_key, coalesce(l.volume_gal, 0)::DECIMAL(18,6) AS gallons
  FROM account.load a JOIN ledger.load l ON l.load = a.load
  WHERE (l.ticket IS NULL OR NOT contains(l.ticket, '; ')) AND is_asked_at(a.loaded_at) AND is_asked_plane(a.aircraft)
    AND is_asked_at(l.loaded_at) AND is_asked_plane(l.aircraft)
  UNION ALL
  SELECT a.rowid * 32 + 4 * t.part, a.load, t.part, a.aircraft, a.loaded_at, a.operating_day, a.season, a.fluid, a.base, t.ticket_key, t.gallons
  FROM account.load a JOIN (
    SELECT s.id, row_number() OVER (PARTITION BY s.id ORDER BY s.place, s.obs_no) - 1 AS part, val.ticket_key(o.ticket) AS ticket_key,
      coalesce(o.volume_gal, 0)::DECIMAL(18,6) AS gallons
    FROM ledger.attestation s JOIN obs.load o ON o.obs_no = s.obs_no
    WHERE s.kind = 'load' AND s.witness = 'ticket' AND s.id IN (FROM split_load)) t ON t.id = a.load),
placed AS (
  SELECT o.*, t.term_no, t.item_no, t.starts_on, t.ends_on, t.emergency_rule, coalesce((o.loaded_at + z.shift)::DATE, o.operating_day) AS day,
    CASE WHEN o.part = 0 THEN least(coalesce(g.gallons, 0), o.gallons) ELSE 0 END::DECIMAL(18,6) AS let_go
  FROM one o JOIN term t ON t.plane = o.aircraft AND t.item = 'gallon-loaded' AND o.operating_day BETWEEN t.reach_from AND t.reach_to
  LEFT JOIN zone_hour z ON z.zone = t.zone AND z.hour = date_trunc('hour', o.loaded_at) LEFT JOIN let_go g ON g.load = o.load)
SELECT o.work_no, o.term_no, o.item_no, p.price_no, o.load, NULL, o.loaded_at, o.day, o.season, o.fluid, o.ticket_key, o.base, o.let_go,
  o.gallons - CASE WHEN o.emergency_rule = 'unpaid' THEN o.let_go ELSE 0 END, o.day BETWEEN o.starts_on AND o.ends_on
FROM placed o LEFT JOIN fluid_price p ON p.term_no = o.term_no AND p.fluid IS NOT DISTINCT FROM o.fluid WHERE is_asked_day(o.day);

-- What was dropped on fires; loads let go in an emergency or jettison beside it, paid for where the contract says so.
-- A ticket on such a line names the load.
INSERT INTO seen
WITH dropped AS (
  SELECT d.rowid * 32 + 1 AS work_no, d.*, coalesce(d.volume_gal, 0)::DECIMAL(18,6) AS gallons FROM account."drop" d
  WHERE d.purpose IN ('fire', 'emergency', 'jettison') AND is_asked_at(d.dropped_at) AND is_asked_plane(d.aircraft)),
placed AS (
  SELECT d.*, t.term_no, t.item_no, t.starts_on, t.ends_on, t.emergency_rule, coalesce((d.dropped_at + z.shift)::DATE, d.operating_day) AS day
  FROM dropped d JOIN term t ON t.plane = d.aircraft AND t.item = 'gallon-delivered' AND d.operating_day BETWEEN t.reach_from AND t.reach_to
  LEFT JOIN zone_hour z ON z.zone = t.zone AND z.hour = date_trunc('hour', d.dropped_at))
SELECT d.work_no, d.term_no, d.item_no, p.price_no, d."drop", d.load, d.dropped_at, d.day, d.season, d.fluid, k.ticket_key, d.base,
  CASE WHEN d.purpose = 'fire' THEN 0 ELSE d.gallons END, CASE WHEN d.purpose = 'fire' OR d.emergency_rule = 'paid' THEN d.gallons ELSE 0 END,
  d.day BETWEEN d.starts_on AND d.ends_on
FROM placed d LEFT JOIN fluid_price p ON p.term_no = d.term_no AND p.fluid IS NOT DISTINCT FROM d.fluid
LEFT JOIN drop_ticket k ON k.load = d.load WHERE is_asked_day(d.day);

-- Hours, in whole seconds: an hour meter's reading where there is one, else wheels off to wheels on. A meter that is read
-- to tenths cannot tell hundredths: where it agrees with the clock, the clock counts on a contract in hundredths.
INSERT INTO seen
WITH flown AS (
  SELECT a.rowid * 32 + 2 AS work_no, a.flight, a.aircraft, a.off_at, a.operating_day, a.season,
    greatest(0, round((epoch_ms(a.on_at) - epoch_ms(a.off_at)) / 1000))::BIGINT AS clock_s, round(l.hours * 3600)::BIGINT AS meter_s,
    coalesce(abs(l.hours * 10 - round(l.hours * 10)) < 0.0001, true) AS is_tenth
  FROM account.flight a JOIN ledger.flight l ON l.flight = a.flight
  WHERE is_asked_at(a.off_at) AND is_asked_plane(a.aircraft) AND is_asked_at(l.off_at) AND is_asked_plane(l.aircraft)),
placed AS (
  SELECT t.*, f.work_no, f.flight, f.off_at, f.season, coalesce((f.off_at + z.shift)::DATE, f.operating_day) AS day, f.clock_s, f.meter_s,
    bool_and(f.is_tenth) OVER (PARTITION BY t.contract, t.plane) AS is_in_tenths
  FROM flown f JOIN term t ON t.plane = f.aircraft AND t.item = 'flight-hour' AND f.operating_day BETWEEN t.reach_from AND t.reach_to
  LEFT JOIN zone_hour z ON z.zone = t.zone AND z.hour = date_trunc('hour', f.off_at)),
timed AS (
  SELECT *, CASE WHEN meter_s IS NULL OR (step_ms < 360000 AND is_in_tenths AND abs(meter_s - clock_s) <= 181) THEN clock_s ELSE meter_s END AS air_s
  FROM placed)
SELECT d.work_no, d.term_no, d.item_no, p.price_no, d.flight, NULL, d.off_at, d.day, d.season, NULL, NULL, NULL, 0,
  d.hours_step * CASE WHEN d.hours_per = 'flight' THEN contracts.steps(d.air_s, d.step_ms, d.hours_rounding)
    -- The day's minutes are summed first: each flight carries what it adds to the rounded sum.
    ELSE contracts.steps(sum(d.air_s) OVER upto, d.step_ms, d.hours_rounding) - contracts.steps((sum(d.air_s) OVER upto - d.air_s), d.step_ms, d.hours_rounding) END,
  d.day BETWEEN d.starts_on AND d.ends_on
FROM (FROM timed WHERE is_asked_day(day)) d LEFT JOIN fluid_price p ON p.term_no = d.term_no AND p.fluid IS NULL
WINDOW upto AS (PARTITION BY d.contract, d.plane, d.day ORDER BY d.off_at, d.flight);

-- Days on which an aircraft stood ready; a day's word for one contract goes before a word for any.
INSERT INTO seen
WITH day_word AS (
  SELECT aircraft, day, contract, status, obs_no FROM obs.availability WHERE fate = 'accepted'
  QUALIFY row_number() OVER (PARTITION BY aircraft, day, contract ORDER BY obs_no DESC) = 1),
ready AS (
  SELECT t.term_no, t.item_no, t.starts_on, t.ends_on, a.day, a.status, a.obs_no
  FROM day_word a JOIN term t ON t.plane = a.aircraft AND t.item = 'availability-day' AND (a.contract IS NULL OR a.contract = t.contract)
  QUALIFY row_number() OVER (PARTITION BY t.contract, t.plane, a.day ORDER BY a.contract IS NULL, a.obs_no DESC) = 1),
numbered AS (SELECT *, dense_rank() OVER (ORDER BY obs_no) AS word FROM ready)
SELECT -n.word, n.term_no, n.item_no, p.price_no, n.obs_no::VARCHAR, NULL, n.day::TIMESTAMP, n.day,
  coalesce((SELECT min(s.name) FROM season_of s WHERE n.day BETWEEN s.starts_on AND s.ends_on), year(n.day)::VARCHAR), NULL, NULL, NULL, 0,
  CASE WHEN n.status = 'available' THEN 1 ELSE 0 END, n.day BETWEEN n.starts_on AND n.ends_on
FROM numbered n LEFT JOIN fluid_price p ON p.term_no = n.term_no AND p.fluid IS NULL;
