-- The work on record, unit by unit, as each contract sees it: its day, its payable quantity, the fluid it is priced by.
-- One row per piece of work and contract that lists its aircraft and prices it.
CREATE OR REPLACE TEMP TABLE term AS
WITH listed AS (SELECT a.aircraft AS plane, d.* FROM deal d JOIN deal_aircraft a ON a.contract = d.contract),
-- Several contracts list the aircraft at once: who may ask for unbilled work has to be found out.
contested AS (
  SELECT DISTINCT l.contract, l.plane FROM listed l JOIN listed e ON e.plane = l.plane
  WHERE e.contract <> l.contract AND e.starts_on <= l.ends_on AND e.ends_on >= l.starts_on)
SELECT l.*, r.reach_from, r.reach_to, p.item, p.fluids, c.plane IS NOT NULL AS is_contested
FROM listed l JOIN priced_item p ON p.contract = l.contract JOIN deal_reach r ON r.contract = l.contract
LEFT JOIN contested c ON c.contract = l.contract AND c.plane = l.plane;

CREATE OR REPLACE TEMP TABLE let_go AS
SELECT load, sum(volume_gal::DECIMAL(18,6)) AS gallons FROM account."drop"
WHERE purpose IN ('emergency', 'jettison') AND load IS NOT NULL AND volume_gal IS NOT NULL GROUP BY load;

CREATE OR REPLACE TEMP TABLE zone_hour AS
SELECT zone, hour, timezone(zone, timezone('UTC', hour)) - hour AS shift
FROM (SELECT DISTINCT zone FROM term WHERE zone IS NOT NULL) CROSS JOIN (
  SELECT date_trunc('hour', loaded_at) AS hour FROM account.load UNION SELECT date_trunc('hour', dropped_at) FROM account."drop"
  UNION SELECT date_trunc('hour', off_at) FROM account.flight);

CREATE OR REPLACE TEMP TABLE season_of AS
SELECT name, starts_on, ends_on FROM obs.season WHERE fate = 'accepted'
QUALIFY row_number() OVER (PARTITION BY name ORDER BY obs_no DESC) = 1;

-- work_no: the same piece of work under every contract, made of the row's own number (nothing lasting rests on it).
-- fill: the load behind a drop.
CREATE OR REPLACE TEMP TABLE seen(
  work_no BIGINT, contract VARCHAR, item VARCHAR, kind VARCHAR, id VARCHAR, part INTEGER, fill VARCHAR, aircraft VARCHAR,
  happened_at TIMESTAMP, day DATE, season VARCHAR, fluid VARCHAR, ticket_key VARCHAR, base VARCHAR, let_go DECIMAL(18,6),
  quantity DECIMAL(18,6), is_inside BOOLEAN, is_contested BOOLEAN, price_fluid VARCHAR);

-- Loads. A fill that two tickets sum to is two units, each of its own ticket's volume.
INSERT INTO seen
WITH one AS (
  SELECT a.rowid * 32 AS work_no, a.load, 0 AS part, a.aircraft, a.loaded_at, a.operating_day, a.season, a.fluid, a.base,
    val.ticket_key(l.ticket) AS ticket_key, coalesce(l.volume_gal, 0)::DECIMAL(18,6) AS gallons
  FROM account.load a JOIN ledger.load l ON l.load = a.load WHERE l.ticket IS NULL OR NOT contains(l.ticket, '; ')
  UNION ALL
  SELECT a.rowid * 32 + 4 * t.part, a.load, t.part, a.aircraft, a.loaded_at, a.operating_day, a.season, a.fluid, a.base, t.ticket_key, t.gallons
  FROM account.load a JOIN (
    SELECT s.id, row_number() OVER (PARTITION BY s.id ORDER BY s.place, s.obs_no) - 1 AS part, val.ticket_key(o.ticket) AS ticket_key,
      coalesce(o.volume_gal, 0)::DECIMAL(18,6) AS gallons
    FROM ledger.attestation s JOIN obs.load o ON o.obs_no = s.obs_no
    WHERE s.kind = 'load' AND s.witness = 'ticket' AND s.id IN (SELECT load FROM ledger.load WHERE contains(ticket, '; '))) t ON t.id = a.load)
SELECT o.work_no, t.contract, t.item, 'load', o.load, o.part, NULL, o.aircraft, o.loaded_at,
  coalesce((o.loaded_at + z.shift)::DATE, o.operating_day), o.season, o.fluid, o.ticket_key, o.base,
  CASE WHEN o.part = 0 THEN least(coalesce(g.gallons, 0), o.gallons) ELSE 0 END,
  o.gallons - CASE WHEN t.emergency_rule = 'unpaid' AND o.part = 0 THEN least(coalesce(g.gallons, 0), o.gallons) ELSE 0 END,
  coalesce((o.loaded_at + z.shift)::DATE, o.operating_day) BETWEEN t.starts_on AND t.ends_on, t.is_contested, contracts.price_fluid(o.fluid, t.fluids)
FROM one o JOIN term t ON t.plane = o.aircraft AND t.item = 'gallon-loaded' AND o.operating_day BETWEEN t.reach_from AND t.reach_to
LEFT JOIN zone_hour z ON z.zone = t.zone AND z.hour = date_trunc('hour', o.loaded_at) LEFT JOIN let_go g ON g.load = o.load;

-- What was dropped on fires; loads let go in an emergency or jettison beside it, paid for where the contract says so.
-- A ticket on such a line names the load.
INSERT INTO seen
WITH ticketed AS (
  SELECT load, val.ticket_key(split_part(ticket, '; ', 1)) AS ticket_key FROM ledger.load
  WHERE ticket IS NOT NULL AND EXISTS (SELECT 1 FROM obs.invoice_line WHERE fate = 'accepted' AND ticket IS NOT NULL AND contracts.item_key(item) = 'gallon-delivered')),
dropped AS (
  SELECT d.rowid * 32 + 1 AS work_no, d.*, coalesce(d.volume_gal, 0)::DECIMAL(18,6) AS gallons FROM account."drop" d
  WHERE d.purpose IN ('fire', 'emergency', 'jettison'))
SELECT d.work_no, t.contract, t.item, 'drop', d."drop", 0, d.load, d.aircraft, d.dropped_at,
  coalesce((d.dropped_at + z.shift)::DATE, d.operating_day), d.season, d.fluid, k.ticket_key, d.base,
  CASE WHEN d.purpose = 'fire' THEN 0 ELSE d.gallons END, CASE WHEN d.purpose = 'fire' OR t.emergency_rule = 'paid' THEN d.gallons ELSE 0 END,
  coalesce((d.dropped_at + z.shift)::DATE, d.operating_day) BETWEEN t.starts_on AND t.ends_on, t.is_contested, contracts.price_fluid(d.fluid, t.fluids)
FROM dropped d JOIN term t ON t.plane = d.aircraft AND t.item = 'gallon-delivered' AND d.operating_day BETWEEN t.reach_from AND t.reach_to
LEFT JOIN zone_hour z ON z.zone = t.zone AND z.hour = date_trunc('hour', d.dropped_at) LEFT JOIN ticketed k ON k.load = d.load;

-- Hours, in whole seconds: an hour meter's reading where there is one, else wheels off to wheels on. A meter that is read
-- to tenths cannot tell hundredths: where it agrees with the clock, the clock counts on a contract in hundredths.
INSERT INTO seen
WITH flown AS (
  SELECT a.rowid * 32 + 2 AS work_no, a.flight, a.aircraft, a.off_at, a.operating_day, a.season,
    greatest(0, round((epoch_ms(a.on_at) - epoch_ms(a.off_at)) / 1000))::BIGINT AS clock_s, round(l.hours * 3600)::BIGINT AS meter_s,
    coalesce(abs(l.hours * 10 - round(l.hours * 10)) < 0.0001, true) AS is_tenth
  FROM account.flight a JOIN ledger.flight l ON l.flight = a.flight),
placed AS (
  SELECT t.*, f.work_no, f.flight, f.off_at, f.season, coalesce((f.off_at + z.shift)::DATE, f.operating_day) AS day, f.clock_s, f.meter_s,
    bool_and(f.is_tenth) OVER (PARTITION BY t.contract, t.plane) AS is_in_tenths
  FROM flown f JOIN term t ON t.plane = f.aircraft AND t.item = 'flight-hour' AND f.operating_day BETWEEN t.reach_from AND t.reach_to
  LEFT JOIN zone_hour z ON z.zone = t.zone AND z.hour = date_trunc('hour', f.off_at)),
timed AS (
  SELECT *, CASE WHEN meter_s IS NULL OR (step_ms < 360000 AND is_in_tenths AND abs(meter_s - clock_s) <= 181) THEN clock_s ELSE meter_s END AS air_s
  FROM placed)
SELECT work_no, contract, item, 'flight', flight, 0, NULL, plane, off_at, day, season, NULL, NULL, NULL, 0,
  hours_step * CASE WHEN hours_per = 'flight' THEN contracts.steps(air_s, step_ms, hours_rounding)
    -- The day's minutes are summed first: each flight carries what it adds to the rounded sum.
    ELSE contracts.steps(sum(air_s) OVER upto, step_ms, hours_rounding) - contracts.steps((sum(air_s) OVER upto - air_s), step_ms, hours_rounding) END,
  day BETWEEN starts_on AND ends_on, is_contested, contracts.price_fluid(NULL, fluids)
FROM timed WINDOW upto AS (PARTITION BY contract, plane, day ORDER BY off_at, flight);

-- Days on which an aircraft stood ready; a day's word for one contract goes before a word for any.
INSERT INTO seen
WITH day_word AS (
  SELECT aircraft, day, contract, status, obs_no FROM obs.availability WHERE fate = 'accepted'
  QUALIFY row_number() OVER (PARTITION BY aircraft, day, contract ORDER BY obs_no DESC) = 1),
ready AS (
  SELECT t.contract, t.item, t.plane, t.starts_on, t.ends_on, t.is_contested, t.fluids, a.day, a.status, a.obs_no
  FROM day_word a JOIN term t ON t.plane = a.aircraft AND t.item = 'availability-day' AND (a.contract IS NULL OR a.contract = t.contract)
  QUALIFY row_number() OVER (PARTITION BY t.contract, t.plane, a.day ORDER BY a.contract IS NULL, a.obs_no DESC) = 1),
numbered AS (SELECT *, dense_rank() OVER (ORDER BY obs_no) AS word FROM ready)
SELECT -word, contract, item, 'obs', obs_no::VARCHAR, 0, NULL, plane, day::TIMESTAMP, day,
  coalesce((SELECT min(s.name) FROM season_of s WHERE n.day BETWEEN s.starts_on AND s.ends_on), year(day)::VARCHAR), NULL, NULL, NULL, 0,
  CASE WHEN status = 'available' THEN 1 ELSE 0 END, day BETWEEN starts_on AND ends_on, is_contested, contracts.price_fluid(NULL, fluids)
FROM numbered n;
