-- The work on record, unit by unit, as each contract sees it: its day, its payable quantity, the fluid it is priced by.
CREATE OR REPLACE TEMP TABLE served AS SELECT DISTINCT aircraft FROM deal_aircraft;

CREATE OR REPLACE TEMP TABLE let_go AS
SELECT load, sum(volume_gal::DECIMAL(18,6)) AS gallons FROM account."drop"
WHERE purpose IN ('emergency', 'jettison') AND load IS NOT NULL AND volume_gal IS NOT NULL GROUP BY load;

-- A fill that two tickets sum to is two units, each of its own ticket's volume.
CREATE OR REPLACE TEMP TABLE load_ticket AS
WITH one AS (
  SELECT a.load, 0 AS part, contracts.ticket_key(l.ticket) AS ticket_key, coalesce(l.volume_gal, 0)::DECIMAL(18,6) AS gallons
  FROM account.load a JOIN ledger.load l ON l.load = a.load
  WHERE a.aircraft IN (FROM served) AND (l.ticket IS NULL OR NOT contains(l.ticket, '; '))),
several AS (
  SELECT a.load, (row_number() OVER (PARTITION BY a.load ORDER BY t.place, t.obs_no) - 1)::INTEGER AS part,
    contracts.ticket_key(o.ticket) AS ticket_key, coalesce(o.volume_gal, 0)::DECIMAL(18,6) AS gallons
  FROM account.load a JOIN ledger.load l ON l.load = a.load
  JOIN ledger.attestation t ON t.kind = 'load' AND t.id = a.load AND t.witness = 'ticket'
  JOIN obs.load o ON o.obs_no = t.obs_no
  WHERE a.aircraft IN (FROM served) AND contains(l.ticket, '; '))
SELECT * FROM one UNION ALL SELECT * FROM several;

CREATE OR REPLACE TEMP TABLE work AS
WITH every AS (
  SELECT 'gallon-loaded' AS item, 'load' AS kind, t.load AS id, t.part, t.load AS fill, a.aircraft, a.loaded_at AS happened_at,
    a.operating_day, a.season, a.fluid, t.ticket_key, a.base, t.gallons AS quantity,
    CASE WHEN t.part = 0 THEN least(coalesce(g.gallons, 0), t.gallons) ELSE 0 END::DECIMAL(18,6) AS let_go,
    0::BIGINT AS clock_s, NULL::BIGINT AS meter_s, false AS is_in_tenths
  FROM load_ticket t JOIN account.load a ON a.load = t.load LEFT JOIN let_go g ON g.load = t.load
  UNION ALL
  SELECT 'gallon-delivered', 'drop', d."drop", 0, d.load, d.aircraft, d.dropped_at, d.operating_day, d.season, d.fluid, t.ticket_key,
    d.base, coalesce(d.volume_gal, 0)::DECIMAL(18,6), CASE WHEN d.purpose = 'fire' THEN 0 ELSE coalesce(d.volume_gal, 0) END::DECIMAL(18,6), 0, NULL, false
  FROM account."drop" d LEFT JOIN load_ticket t ON t.load = d.load AND t.part = 0
  WHERE d.purpose IN ('fire', 'emergency', 'jettison') AND d.aircraft IN (FROM served)
  UNION ALL
  SELECT 'flight-hour', 'flight', a.flight, 0, NULL, a.aircraft, a.off_at, a.operating_day, a.season, NULL, NULL, NULL, 0, 0,
    greatest(0, round((epoch_ms(a.on_at) - epoch_ms(a.off_at)) / 1000))::BIGINT, round(l.hours * 3600)::BIGINT,
    bool_and(coalesce(abs(l.hours * 10 - round(l.hours * 10)) < 0.0001, true)) OVER (PARTITION BY a.aircraft)
  FROM account.flight a JOIN ledger.flight l ON l.flight = a.flight WHERE a.aircraft IN (FROM served))
SELECT row_number() OVER () AS work_no, e.* FROM every e WHERE item IN (SELECT item FROM price);

CREATE OR REPLACE TEMP TABLE zone_hour AS
SELECT zone, hour, timezone(zone, timezone('UTC', hour)) - hour AS shift
FROM (SELECT DISTINCT date_trunc('hour', happened_at) AS hour FROM work WHERE EXISTS (SELECT 1 FROM deal WHERE zone IS NOT NULL))
CROSS JOIN (SELECT DISTINCT zone FROM deal WHERE zone IS NOT NULL);

CREATE OR REPLACE TEMP TABLE season_of AS
SELECT name, starts_on, ends_on FROM obs.season WHERE fate = 'accepted'
QUALIFY row_number() OVER (PARTITION BY name ORDER BY obs_no DESC) = 1;

CREATE OR REPLACE TEMP TABLE seen AS
WITH placed AS (
  SELECT d.contract, w.*, coalesce((w.happened_at + z.shift)::DATE, w.operating_day) AS day,
    -- Whole seconds: an hour meter's reading where there is one, else wheels off to wheels on. A meter that is read to
    -- tenths cannot tell hundredths: where it agrees with the clock, the clock counts on a contract in hundredths.
    CASE WHEN w.meter_s IS NULL OR (d.step_ms < 360000 AND w.is_in_tenths AND abs(w.meter_s - w.clock_s) <= 181) THEN w.clock_s ELSE w.meter_s END AS air_s
  FROM work w JOIN deal_aircraft b ON b.aircraft = w.aircraft JOIN deal d ON d.contract = b.contract
  JOIN priced_item p ON p.contract = d.contract AND p.item = w.item
  LEFT JOIN zone_hour z ON z.zone = d.zone AND z.hour = date_trunc('hour', w.happened_at)),
ready AS (
  SELECT b.contract, b.aircraft, a.day, arg_max(a.status, (a.contract IS NOT NULL, a.obs_no)) AS status,
    max_by(a.obs_no, (a.contract IS NOT NULL, a.obs_no)) AS obs_no
  FROM (SELECT aircraft, day, contract, status, obs_no FROM obs.availability WHERE fate = 'accepted'
    QUALIFY row_number() OVER (PARTITION BY aircraft, day, contract ORDER BY obs_no DESC) = 1) a
  JOIN deal_aircraft b ON b.aircraft = a.aircraft AND (a.contract IS NULL OR a.contract = b.contract)
  JOIN priced_item p ON p.contract = b.contract AND p.item = 'availability-day'
  GROUP BY b.contract, b.aircraft, a.day),
timed AS (
  SELECT p.contract, p.work_no, p.item, p.kind, p.id, p.part, p.fill, p.aircraft, p.happened_at, p.day, p.season, p.fluid, p.ticket_key,
    p.base, p.let_go,
    CASE
      WHEN p.item = 'flight-hour' AND d.hours_per = 'flight' THEN contracts.steps(p.air_s, d.step_ms, d.hours_rounding) * d.hours_step
      -- The day's minutes are summed first: each flight carries what it adds to the rounded sum.
      WHEN p.item = 'flight-hour' THEN (contracts.steps(sum(p.air_s) OVER upto, d.step_ms, d.hours_rounding)
        - contracts.steps((sum(p.air_s) OVER upto - p.air_s), d.step_ms, d.hours_rounding)) * d.hours_step
      WHEN p.item = 'gallon-loaded' THEN p.quantity - CASE WHEN d.emergency_rule = 'unpaid' THEN p.let_go ELSE 0 END
      WHEN p.let_go > 0 AND d.emergency_rule IS DISTINCT FROM 'paid' THEN 0
      ELSE p.quantity END::DECIMAL(18,6) AS quantity
  FROM placed p JOIN deal d ON d.contract = p.contract
  WINDOW upto AS (PARTITION BY p.contract, p.item, CASE WHEN p.item = 'flight-hour' THEN p.aircraft ELSE p.id END, p.day ORDER BY p.happened_at, p.id, p.part)
  UNION ALL
  SELECT contract, -obs_no, 'availability-day', 'obs', obs_no::VARCHAR, 0, NULL, aircraft, day::TIMESTAMP, day,
    coalesce((SELECT min(s.name) FROM season_of s WHERE r.day BETWEEN s.starts_on AND s.ends_on), year(day)::VARCHAR), NULL, NULL, NULL, 0,
    CASE WHEN status = 'available' THEN 1 ELSE 0 END
  FROM ready r)
SELECT row_number() OVER () AS unit_no, t.*, t.day BETWEEN d.starts_on AND d.ends_on AS is_inside,
  CASE WHEN list_contains(p.fluids, t.fluid) THEN t.fluid WHEN list_contains(p.fluids, '') THEN ''
    WHEN t.fluid IS NULL AND len(p.fluids) = 1 THEN p.fluids[1] END AS price_fluid
FROM timed t JOIN deal d ON d.contract = t.contract JOIN priced_item p ON p.contract = t.contract AND p.item = t.item;
