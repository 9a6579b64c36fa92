import { claimView } from './claims.ts'

/**
 * Tables of the `ledger` schema: what happened, each event once, with links to every observation that attests it.
 * Times are UTC by the common clock, volumes US gal.
 */
export const schemaSql = `
CREATE SCHEMA IF NOT EXISTS ledger;

CREATE TABLE IF NOT EXISTS ledger.drop(
  drop VARCHAR, aircraft VARCHAR, dropped_at TIMESTAMP,
  volume_gal DOUBLE, commanded_gal DOUBLE, coverage_level DOUBLE, is_open_ended BOOLEAN, fraction DOUBLE,
  fluid VARCHAR, purpose VARCHAR, openings INTEGER, doors VARCHAR[],
  latitude DOUBLE, longitude DOUBLE, height_ft DOUBLE, groundspeed_kt DOUBLE, duration_s DOUBLE,
  fire_text VARCHAR, is_emergency_release BOOLEAN, is_measured BOOLEAN, is_recorded BOOLEAN, record VARCHAR,
  witnesses VARCHAR[], status VARCHAR, is_excluded BOOLEAN, segment VARCHAR);

CREATE TABLE IF NOT EXISTS ledger.load(
  load VARCHAR, aircraft VARCHAR, loaded_at TIMESTAMP, started_at TIMESTAMP, base_text VARCHAR, ticket VARCHAR,
  volume_gal DOUBLE, target_gal DOUBLE, overflow VARCHAR, fluid VARCHAR, method VARCHAR,
  gauge_before_gal DOUBLE, gauge_after_gal DOUBLE, gauge_gal DOUBLE, meter_gal DOUBLE, is_recorded BOOLEAN,
  witnesses VARCHAR[], status VARCHAR, is_excluded BOOLEAN, segment VARCHAR);

CREATE TABLE IF NOT EXISTS ledger.flight(
  flight VARCHAR, aircraft VARCHAR, off_at TIMESTAMP, on_at TIMESTAMP, hours DOUBLE, ordered_at TIMESTAMP,
  from_base_text VARCHAR, to_base_text VARCHAR, is_recorded BOOLEAN,
  witnesses VARCHAR[], status VARCHAR, is_excluded BOOLEAN, segment VARCHAR);

CREATE TABLE IF NOT EXISTS ledger.offload(
  offload VARCHAR, aircraft VARCHAR, offloaded_at TIMESTAMP, base_text VARCHAR, volume_gal DOUBLE, fluid VARCHAR,
  is_recorded BOOLEAN, witnesses VARCHAR[], status VARCHAR, is_excluded BOOLEAN, segment VARCHAR);

-- One row per observation and event that it attests. place: its rank among equals of one witness. attested_by: how many
-- rows there are of the event, which is of this aircraft.
CREATE TABLE IF NOT EXISTS ledger.attestation(
  kind VARCHAR, id VARCHAR, obs_no BIGINT, witness VARCHAR, source VARCHAR, offset_min DOUBLE, role VARCHAR,
  place SMALLINT, score DOUBLE, apart_min DOUBLE, own_gal DOUBLE, peer_gal DOUBLE, is_amended BOOLEAN,
  aircraft VARCHAR, attested_by SMALLINT);

-- own_min: what its own day says of the clock, before the days around it are asked; NULL where that is nothing.
-- base: of tickets, whose clock it is; else empty. own_against: by whose clock, 0 for the common one.
CREATE TABLE IF NOT EXISTS ledger.clock(
  source VARCHAR, base VARCHAR, witness VARCHAR, aircraft VARCHAR, day DATE, offset_min DOUBLE, pairs INTEGER, basis VARCHAR,
  spread_min DOUBLE, started_at TIMESTAMP, ended_at TIMESTAMP, is_open BOOLEAN, own_min DOUBLE,
  own_is_strong BOOLEAN, own_against TINYINT);

CREATE TABLE IF NOT EXISTS ledger.finding(
  finding_id VARCHAR, finding VARCHAR, severity VARCHAR, subject VARCHAR, happened_at TIMESTAMP, message VARCHAR,
  evidence VARCHAR[], aircraft VARCHAR, tank VARCHAR);

-- Of the same shape: what people set on lines that later files replaced.
CREATE TABLE IF NOT EXISTS ledger.lapsed(
  finding_id VARCHAR, finding VARCHAR, severity VARCHAR, subject VARCHAR, happened_at TIMESTAMP, message VARCHAR,
  evidence VARCHAR[], aircraft VARCHAR, tank VARCHAR);

-- What the witnesses of a drop wrote of its fire, where they did not write the same.
CREATE TABLE IF NOT EXISTS ledger.disputed_fire(drop VARCHAR, text VARCHAR);

-- Amendments as they stood when the ledger was last matched.
CREATE TABLE IF NOT EXISTS ledger.seen_amendment(amendment_no INTEGER, is_undone BOOLEAN);

-- Whose clock it is: a source and, of tickets, the base.
CREATE OR REPLACE MACRO ledger.clock_name(source, base) AS source || CASE WHEN base = '' THEN '' ELSE ' at ' || base END;

CREATE OR REPLACE VIEW ledger.link AS
SELECT kind, id, obs_no, witness, source, offset_min, score,
  CASE
    WHEN is_amended THEN 'joined or parted by an amendment'
    WHEN apart_min IS NULL THEN 'told by nobody else'
    ELSE format('{:.1f} min apart', apart_min)
      || CASE WHEN own_gal IS NULL OR peer_gal IS NULL THEN ''
           ELSE format(', {:,d} and {:,d} gal', round(own_gal)::BIGINT, round(peer_gal)::BIGINT) END
      || CASE role WHEN 'summary' THEN ', one line for several drops' WHEN 'part' THEN ', one of several parts' ELSE '' END
  END AS decided_by,
  role
FROM ledger.attestation;

${claimView}
`
