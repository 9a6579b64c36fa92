import { daylightSql } from './daylight.ts'
import { findingView } from './finding-view.ts'

/**
 * `account`: what each canonical event belongs to (tank, base, fire, flight, day), what each load cycle left over,
 * and what every item has counted. `answers`: the wide views that questions are asked on.
 * All of it is made from `ledger` and the registry by `account`, and can be made again at any time.
 */
const tables = `
CREATE SCHEMA IF NOT EXISTS account;
CREATE TABLE IF NOT EXISTS account.mounting(tank VARCHAR, aircraft VARCHAR, on_at TIMESTAMP, off_at TIMESTAMP);
CREATE TABLE IF NOT EXISTS account.fitting(
  component VARCHAR, kind VARCHAR, tank VARCHAR, position VARCHAR, on_at TIMESTAMP, off_at TIMESTAMP);
CREATE TABLE IF NOT EXISTS account.base_name(text VARCHAR, base VARCHAR, suggestion VARCHAR);
CREATE TABLE IF NOT EXISTS account.fire_text(
  text VARCHAR, season VARCHAR, operating_day DATE, fire VARCHAR, fire_season VARCHAR, how VARCHAR, score DOUBLE, suggestion VARCHAR);
-- The same for what any witness wrote of drops whose witnesses did not write the same.
CREATE TABLE IF NOT EXISTS account.disputed_text(
  text VARCHAR, season VARCHAR, operating_day DATE, fire VARCHAR, fire_season VARCHAR, how VARCHAR, score DOUBLE, suggestion VARCHAR);
CREATE TABLE IF NOT EXISTS account.fire(
  number VARCHAR, name VARCHAR, season VARCHAR, latitude DOUBLE, longitude DOUBLE, started_at TIMESTAMP,
  ended_at TIMESTAMP, first_day DATE, last_day DATE, radius_nm DOUBLE, aliases VARCHAR[]);
CREATE TABLE IF NOT EXISTS account.meter_bias(
  base VARCHAR, pairs INTEGER, bias_pct DOUBLE, low_pct DOUBLE, high_pct DOUBLE, applied_pct DOUBLE);
CREATE TABLE IF NOT EXISTS account.load(
  load VARCHAR, aircraft VARCHAR, loaded_at TIMESTAMP, tank VARCHAR, base VARCHAR, base_basis VARCHAR,
  operating_day DATE, season VARCHAR, corrected_gal DOUBLE, fluid VARCHAR, is_overfill BOOLEAN, previous_load VARCHAR,
  turnaround_min DOUBLE, hold_min DOUBLE, out_min DOUBLE, scene_min DOUBLE, back_min DOUBLE, fill_min DOUBLE, is_home BOOLEAN);
CREATE TABLE IF NOT EXISTS account.flight(
  flight VARCHAR, aircraft VARCHAR, off_at TIMESTAMP, on_at TIMESTAMP, operating_day DATE, season VARCHAR,
  airborne_hours DOUBLE, is_mission BOOLEAN, tank VARCHAR, from_base VARCHAR, to_base VARCHAR);
CREATE TABLE IF NOT EXISTS account.offload(
  offload VARCHAR, aircraft VARCHAR, offloaded_at TIMESTAMP, tank VARCHAR, base VARCHAR, operating_day DATE,
  season VARCHAR, volume_gal DOUBLE, fluid VARCHAR);
CREATE TABLE IF NOT EXISTS account."drop"(
  "drop" VARCHAR, aircraft VARCHAR, dropped_at TIMESTAMP, tank VARCHAR, load VARCHAR, base VARCHAR, base_basis VARCHAR,
  fire VARCHAR, fire_season VARCHAR, fire_basis VARCHAR, fire_distance_nm DOUBLE, flight VARCHAR, operating_day DATE, season VARCHAR,
  volume_gal DOUBLE, volume_basis VARCHAR, fluid VARCHAR, fluid_basis VARCHAR, purpose VARCHAR,
  is_purpose_assumed BOOLEAN, openings INTEGER, doors VARCHAR[], is_doors_assumed BOOLEAN,
  is_retardant_opening BOOLEAN, is_emergency_release BOOLEAN, is_command_above_level BOOLEAN, is_recorded BOOLEAN,
  position_trouble VARCHAR, flight_hours DOUBLE, is_home BOOLEAN);
CREATE TABLE IF NOT EXISTS account.cycle(
  tank VARCHAR, load VARCHAR, opened_at TIMESTAMP, closed_at TIMESTAMP, aircraft VARCHAR, operating_day DATE,
  season VARCHAR, loaded_gal DOUBLE, dropped_gal DOUBLE, offloaded_gal DOUBLE, level_before_gal DOUBLE,
  level_after_gal DOUBLE, level_at_close_gal DOUBLE, residual_gal DOUBLE, missing_gal DOUBLE, inferred_openings INTEGER,
  inferred_at TIMESTAMP, inferred_day DATE, short_gal DOUBLE, finding VARCHAR, fluid VARCHAR, part_gal DOUBLE);
CREATE TABLE IF NOT EXISTS account.finding(
  finding_id VARCHAR, finding VARCHAR, severity VARCHAR, subject VARCHAR, happened_at TIMESTAMP, message VARCHAR,
  evidence VARCHAR[], aircraft VARCHAR, tank VARCHAR);
-- What the account was made from, by aircraft and day in UTC; and loads that both a base's meter and a tank's gauge saw.
CREATE TABLE IF NOT EXISTS account.registry_mark(mark VARCHAR);
CREATE TABLE IF NOT EXISTS account.day_mark(aircraft VARCHAR, day DATE, mark UBIGINT);
CREATE TABLE IF NOT EXISTS account.meter_pair(
  load VARCHAR, aircraft VARCHAR, loaded_at TIMESTAMP, base VARCHAR, tank VARCHAR, log_ratio DOUBLE);
-- What each load cycle of an aircraft without a tank on record left: from there its balance goes on.
CREATE TABLE IF NOT EXISTS account.bare_cycle(
  aircraft VARCHAR, opened_at TIMESTAMP, level_at_close_gal DOUBLE, missing_gal DOUBLE);
CREATE TABLE IF NOT EXISTS account.walk_drop(
  row_no BIGINT, volume_gal DOUBLE, basis INTEGER, is_load_missing BOOLEAN, is_command_above_level BOOLEAN,
  first_door INTEGER, last_door INTEGER);
CREATE TABLE IF NOT EXISTS account.walk_cycle(
  tank_no INTEGER, load_row BIGINT, first_ms DOUBLE, closed_row BIGINT, loaded_gal DOUBLE, dropped_gal DOUBLE,
  offloaded_gal DOUBLE, level_before_gal DOUBLE, level_after_gal DOUBLE, level_at_close_gal DOUBLE, residual_gal DOUBLE,
  missing_gal DOUBLE, inferred_openings INTEGER, short_gal DOUBLE, is_overfill BOOLEAN, part_gal DOUBLE);
`

const macros = `
CREATE OR REPLACE MACRO account.half_chord(lat_a, lon_a, lat_b, lon_b) AS
  power(sin(radians(lat_b - lat_a) / 2), 2)
  + cos(radians(lat_a)) * cos(radians(lat_b)) * power(sin(radians(lon_b - lon_a) / 2), 2);
-- Great-circle distance, haversine form, on a sphere of 6371.0088 km (mean radius, IUGG); NULL when a place is unknown.
CREATE OR REPLACE MACRO account.distance_nm(lat_a, lon_a, lat_b, lon_b) AS
  2 * 6371.0088 / 1.852 * CASE WHEN account.half_chord(lat_a, lon_a, lat_b, lon_b) > 1 THEN pi() / 2
    ELSE asin(sqrt(account.half_chord(lat_a, lon_a, lat_b, lon_b))) END;
-- What is wrong with a position, held against the box in which all bases and fires lie; NULL when nothing is.
CREATE OR REPLACE MACRO account.position_trouble(lat, lon, south, north, west, east) AS
  CASE WHEN abs(lat) < 0.01 AND abs(lon) < 0.01 THEN 'zero'
    WHEN lat BETWEEN south AND north AND lon BETWEEN west AND east OR south IS NULL THEN NULL
    WHEN lon BETWEEN south AND north AND lat BETWEEN west AND east THEN 'swapped'
    WHEN lat BETWEEN south AND north AND -lon BETWEEN west AND east
      OR -lat BETWEEN south AND north AND lon BETWEEN west AND east
      OR -lat BETWEEN south AND north AND -lon BETWEEN west AND east THEN 'sign' END;
`

/** Counters, event by event: drops of every purpose, inferred openings, fills, mountings, hours while mounted. */
const counters = `
CREATE OR REPLACE VIEW account.fire_name AS
  SELECT DISTINCT text, season, fire, how, score, suggestion FROM account.fire_text;

-- What is written down for a fire and names none.
CREATE OR REPLACE VIEW account.lost_text AS FROM account.fire_text WHERE fire IS NULL AND how <> 'nothing';

-- Drops whose witnesses wrote the same fire in different ways.
CREATE OR REPLACE VIEW account.same_fire AS
  SELECT 'drop:' || x."drop" AS subject
  FROM ledger.disputed_fire x JOIN account."drop" a ON a."drop" = x."drop"
  LEFT JOIN account.disputed_text t ON t.text = x.text AND t.operating_day = a.operating_day
  GROUP BY x."drop" HAVING count(DISTINCT coalesce('fire ' || t.fire || ' ' || t.fire_season, 'text ' || x.text)) = 1;

CREATE OR REPLACE VIEW account.opening AS
  SELECT tank, "drop", NULL::VARCHAR AS load, dropped_at AS happened_at, operating_day, openings, doors, is_recorded,
    false AS is_inferred, is_doors_assumed AS is_assumed, is_retardant_opening AS is_retardant, is_emergency_release
  FROM account."drop" WHERE tank IS NOT NULL
  UNION ALL
  SELECT tank, NULL, load, inferred_at, inferred_day, inferred_openings, NULL, false, true, false,
    coalesce(fluid, 'retardant') = 'retardant', false
  FROM account.cycle WHERE inferred_openings > 0;

CREATE OR REPLACE VIEW account.door_cycle AS
  SELECT o.tank, unnest(coalesce(o.doors, list_transform(range(1, t.doors + 1), lambda n: 'door-' || n))) AS door,
    o."drop", o.load, o.happened_at, o.operating_day, o.openings AS cycles, o.is_recorded, o.is_inferred, o.is_assumed,
    o.is_retardant
  FROM account.opening o JOIN account.tank t ON t.tank = o.tank;

CREATE OR REPLACE VIEW account.tank_count AS
  SELECT tank, NULL AS door, 'openings' AS counter, happened_at, operating_day, openings::DOUBLE AS amount, is_recorded,
    is_inferred, false AS is_assumed, coalesce('drop:' || "drop", 'load:' || load) AS evidence FROM account.opening
  UNION ALL
  SELECT tank, NULL, 'retardant-openings', happened_at, operating_day, openings, is_recorded, is_inferred,
    false, coalesce('drop:' || "drop", 'load:' || load) FROM account.opening WHERE is_retardant
  UNION ALL
  SELECT tank, NULL, 'emergency-releases', happened_at, operating_day, 1, is_recorded, is_inferred, false, 'drop:' || "drop"
  FROM account.opening WHERE is_emergency_release
  UNION ALL
  SELECT tank, door, 'door-cycles', happened_at, operating_day, cycles, is_recorded, is_inferred,
    is_assumed AND NOT is_inferred, coalesce('drop:' || "drop", 'load:' || load) FROM account.door_cycle
  UNION ALL
  SELECT a.tank, NULL, 'fills', a.loaded_at, a.operating_day, 1, l.is_recorded, false, false, 'load:' || a.load
  FROM account.load a JOIN ledger.load l ON l.load = a.load WHERE a.tank IS NOT NULL
  UNION ALL
  SELECT tank, NULL, 'mountings', on_at, on_at::DATE, 1, false, false, false, 'tank:' || tank FROM account.mounting
  UNION ALL
  SELECT a.tank, NULL, 'mounted-hours', a.off_at, a.operating_day, a.airborne_hours, l.is_recorded, false,
    false, 'flight:' || a.flight
  FROM account.flight a JOIN ledger.flight l ON l.flight = a.flight WHERE a.tank IS NOT NULL;

CREATE OR REPLACE VIEW account.item AS
  SELECT tank AS item, 'tank' AS kind, tank, NULL::VARCHAR AS position, NULL::TIMESTAMP AS on_at,
    NULL::TIMESTAMP AS off_at FROM account.tank
  UNION ALL SELECT component, kind, tank, position, on_at, off_at FROM account.fitting;

CREATE OR REPLACE VIEW account.fitting_item AS
  SELECT component AS item, on_at, off_at FROM account.fitting;

CREATE OR REPLACE VIEW account.baseline AS
  SELECT item, counter, value, counted_at FROM obs.baseline WHERE fate = 'accepted';

CREATE OR REPLACE VIEW account.reported AS
  SELECT a.aircraft, a.tank, a.operating_day, unnest(l.witnesses) AS witness, 'drop' AS kind
  FROM account."drop" a JOIN ledger."drop" l ON l."drop" = a."drop"
  UNION ALL SELECT a.aircraft, a.tank, a.operating_day, unnest(l.witnesses), 'load'
  FROM account.load a JOIN ledger.load l ON l.load = a.load
  UNION ALL SELECT a.aircraft, a.tank, a.operating_day, unnest(l.witnesses), 'flight'
  FROM account.flight a JOIN ledger.flight l ON l.flight = a.flight;

-- Days on which every witness that reports on a tank in that year, controller and crew, has reported.
CREATE OR REPLACE VIEW account.fully_reported AS
  WITH told AS MATERIALIZED (
    SELECT DISTINCT tank, operating_day, unnest(witnesses) AS witness FROM (
      SELECT DISTINCT a.tank, a.operating_day, l.witnesses FROM account."drop" a JOIN ledger."drop" l ON l."drop" = a."drop" WHERE a.tank IS NOT NULL
      UNION ALL
      SELECT DISTINCT a.tank, a.operating_day, l.witnesses FROM account.load a JOIN ledger.load l ON l.load = a.load WHERE a.tank IS NOT NULL
      UNION ALL
      SELECT DISTINCT a.tank, a.operating_day, l.witnesses FROM account.flight a JOIN ledger.flight l ON l.flight = a.flight
      WHERE a.tank IS NOT NULL)),
  expected AS (
    SELECT tank, year(operating_day) AS year, count(DISTINCT witness) AS witnesses FROM told
    WHERE witness IN ('controller', 'crew') GROUP BY ALL),
  -- A day's controller and crew are among those expected in its year.
  by_day AS (
    SELECT tank, operating_day, count(*) FILTER (witness IN ('controller', 'crew')) AS witnesses FROM told GROUP BY ALL)
  SELECT t.tank, t.operating_day FROM by_day t LEFT JOIN expected e ON e.tank = t.tank AND e.year = year(t.operating_day)
  WHERE t.witnesses >= coalesce(e.witnesses, 0);

CREATE OR REPLACE VIEW account.item_event AS
  SELECT i.item, i.kind, i.tank, i.position, c.counter, c.happened_at, c.operating_day, c.amount,
    CASE WHEN c.is_inferred THEN 'inferred' ELSE 'counted' END AS part, c.is_recorded, c.is_assumed, c.evidence
  FROM account.item i
  JOIN account.tank_count c ON c.tank = i.tank AND (c.door IS NULL OR c.door = i.position)
    AND (i.on_at IS NULL OR c.happened_at >= i.on_at) AND (i.off_at IS NULL OR c.happened_at < i.off_at);

CREATE OR REPLACE VIEW account.item_count AS
  SELECT e.item, e.kind, e.tank, e.position, e.counter, e.happened_at, e.operating_day, e.amount, e.part, e.is_recorded,
    e.evidence
  FROM account.item_event e
  LEFT JOIN (SELECT item, counter, max(counted_at) AS counted_at FROM account.baseline GROUP BY item, counter) b
    ON b.item = e.item AND b.counter = e.counter
  WHERE b.counted_at IS NULL OR e.happened_at > b.counted_at
  UNION ALL
  SELECT b.item, coalesce(i.kind, 'tank'), i.tank, i.position, b.counter, b.counted_at, b.counted_at::DATE, b.value,
    'baseline', false, 'baseline:' || b.item || ':' || b.counter
  FROM (SELECT *, row_number() OVER (PARTITION BY item, counter ORDER BY counted_at DESC) AS age
    FROM account.baseline) b
  LEFT JOIN (SELECT item, any_value(kind) AS kind, arg_max(tank, coalesce(on_at, TIMESTAMP '1970-01-01')) AS tank,
    arg_max(position, coalesce(on_at, TIMESTAMP '1970-01-01')) AS position FROM account.item GROUP BY item) i
    ON i.item = b.item
  WHERE b.age = 1;
`

const registry = `
CREATE OR REPLACE VIEW account.tank AS
  SELECT serial AS tank, part_number, capacity_gal, doors, coalesce(door_use, 'together') AS door_use, flow,
    peak_flow_gal_s, pattern_width_ft
  FROM obs.tank WHERE fate = 'accepted'
  QUALIFY row_number() OVER (PARTITION BY serial ORDER BY obs_no DESC) = 1;
CREATE OR REPLACE VIEW account.aircraft AS
  SELECT registration AS aircraft, call_number, type_designator, class, max_load_gal, max_speed_kt
  FROM obs.aircraft WHERE fate = 'accepted'
  QUALIFY row_number() OVER (PARTITION BY registration ORDER BY obs_no DESC) = 1;
CREATE OR REPLACE VIEW account.base AS
  SELECT code AS base, name, zone, latitude, longitude, meter_class, aliases
  FROM obs.base WHERE fate = 'accepted'
  QUALIFY row_number() OVER (PARTITION BY code ORDER BY obs_no DESC) = 1;
`

/** One row per canonical event with what it was found to belong to; `source` are rows of the account. */
const wideDrop = (source: string): string => `
  SELECT a.* EXCLUDE (is_recorded, is_home), l.volume_gal AS witnessed_gal, l.commanded_gal, l.coverage_level, l.is_open_ended,
    l.fraction, l.latitude, l.longitude, l.height_ft, l.groundspeed_kt, l.duration_s, l.fire_text, l.is_measured,
    l.is_recorded, l.record, l.witnesses, l.status, l.segment, b.name AS base_name, f.name AS fire_name,
    c.call_number, c.class
  FROM ${source} a JOIN ledger."drop" l ON l."drop" = a."drop"
  LEFT JOIN account.base b ON b.base = a.base
  LEFT JOIN account.fire f ON f.number = a.fire AND f.season = a.fire_season
  LEFT JOIN account.aircraft c ON c.aircraft = a.aircraft`
const wideLoad = (source: string): string => `
  SELECT a.* EXCLUDE (is_home), l.started_at, l.base_text, l.ticket, l.volume_gal, l.target_gal, l.overflow, l.method,
    l.gauge_before_gal, l.gauge_after_gal, l.gauge_gal, l.meter_gal, l.is_recorded, l.witnesses, l.status, l.segment,
    b.name AS base_name, CASE WHEN a.previous_load IS NOT NULL THEN coalesce(p.base, 'unknown') END AS turnaround_base
  FROM ${source} a JOIN ledger.load l ON l.load = a.load LEFT JOIN account.base b ON b.base = a.base
  LEFT JOIN account.load p ON p.load = a.previous_load`
const wideFlight = (source: string): string => `
  SELECT a.*, l.hours, l.ordered_at, l.is_recorded, l.witnesses, l.status, l.segment
  FROM ${source} a JOIN ledger.flight l ON l.flight = a.flight`

const inSpan = `(wanted_season IS NULL OR season = wanted_season OR year(operating_day)::VARCHAR = wanted_season)
    AND (first_day IS NULL OR operating_day >= first_day::DATE)
    AND (last_day IS NULL OR operating_day <= last_day::DATE)
    AND (of_aircraft IS NULL OR aircraft = of_aircraft)
    AND (of_tank IS NULL OR tank = of_tank)`
const inBase = `AND (of_base IS NULL OR coalesce(base, 'unknown') = of_base)
    AND (of_fluid IS NULL OR fluid = of_fluid)`
const chosenDrops = `(SELECT * FROM account."drop" WHERE ${inSpan} ${inBase}
    AND (of_fire IS NULL OR coalesce(fire, 'unattributed') = of_fire))`
const dropParams = 'wanted_season, first_day, last_day, of_aircraft, of_tank, of_base, of_fire, of_fluid'

/**
 * The wide views of the questions, and the same narrowed. Rows are chosen before they are joined to what the ledger knows
 * of them, which is most of the work of a question; `counted_in` gives what the account alone knows and joins nothing.
 */
const answers = `
CREATE SCHEMA IF NOT EXISTS answers;
CREATE OR REPLACE VIEW answers."drop" AS ${wideDrop('account."drop"')};
CREATE OR REPLACE VIEW answers.load AS ${wideLoad('account.load')};
CREATE OR REPLACE VIEW answers.flight AS ${wideFlight('account.flight')};
CREATE OR REPLACE VIEW answers.offload AS
  SELECT a.*, l.base_text, l.is_recorded, l.witnesses, l.status, l.segment
  FROM account.offload a JOIN ledger.offload l ON l.offload = a.offload;
${findingView(['obs', 'ledger', 'account'])}
CREATE OR REPLACE MACRO answers.counted_in(${dropParams}) AS TABLE SELECT * FROM ${chosenDrops};
CREATE OR REPLACE MACRO answers.drops_in(${dropParams}) AS TABLE ${wideDrop(chosenDrops)};
CREATE OR REPLACE MACRO answers.loads_in(wanted_season, first_day, last_day, of_aircraft, of_tank, of_base, of_fluid) AS TABLE
  ${wideLoad(`(SELECT * FROM account.load WHERE ${inSpan} ${inBase})`)};
CREATE OR REPLACE MACRO answers.flights_in(wanted_season, first_day, last_day, of_aircraft, of_tank) AS TABLE
  ${wideFlight(`(SELECT * FROM account.flight WHERE ${inSpan})`)};
`

export const schemaSql: string = [tables, registry, macros, daylightSql, counters, answers].join('\n')
