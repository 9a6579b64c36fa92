import { assessmentSql } from './assessments-sql.ts'
import { cupSql } from './cups.ts'
import { fuelSql } from './fuel.ts'
import { heightSql } from './height.ts'
import { intervalMacros } from './intervals-sql.ts'
import { releaseSql } from './releases-sql.ts'

/**
 * `effectiveness`: release traces, control charts and findings, kept up to date by `assess`.
 * `asked`: what a question needed computed, as it was last asked; it is no part of the account and can be thrown away at any time.
 */
const tables = `
CREATE SCHEMA IF NOT EXISTS effectiveness;
CREATE TABLE IF NOT EXISTS effectiveness.finding(
  finding_id VARCHAR, finding VARCHAR, severity VARCHAR, subject VARCHAR, happened_at TIMESTAMP, message VARCHAR,
  evidence VARCHAR[], aircraft VARCHAR, tank VARCHAR);
CREATE SCHEMA IF NOT EXISTS asked;
CREATE TABLE IF NOT EXISTS effectiveness.control_point(
  tank VARCHAR, run INTEGER, run_started_at TIMESTAMP, "drop" VARCHAR, dropped_at TIMESTAMP, operating_day DATE, season VARCHAR,
  aircraft VARCHAR, error_pct DOUBLE, ewma_pct DOUBLE, upper_pct DOUBLE, lower_pct DOUBLE, slow_ewma_pct DOUBLE,
  slow_upper_pct DOUBLE, slow_lower_pct DOUBLE, center_pct DOUBLE, is_alarm BOOLEAN);
CREATE TABLE IF NOT EXISTS effectiveness.drift_alarm(
  tank VARCHAR, run INTEGER, from_at TIMESTAMP, from_drop VARCHAR, ewma_pct DOUBLE, limit_pct DOUBLE, center_pct DOUBLE,
  sd_pct DOUBLE, stable_drops INTEGER, direction VARCHAR, chart VARCHAR, alarm_at TIMESTAMP, alarm_drop VARCHAR,
  operating_day DATE, season VARCHAR, shape VARCHAR, change_drop VARCHAR, change_at TIMESTAMP, change_low_drop VARCHAR,
  change_low_at TIMESTAMP, change_high_drop VARCHAR, change_high_at TIMESTAMP, adjusted_at TIMESTAMP, aircraft VARCHAR);
CREATE TABLE IF NOT EXISTS effectiveness.adjustment(
  tank VARCHAR, run INTEGER, adjusted_at TIMESTAMP, subject VARCHAR, "before" VARCHAR, "after" VARCHAR, note VARCHAR,
  before_basis VARCHAR, before_from_at TIMESTAMP, drops_before INTEGER, drops_after INTEGER, bias_before_pct DOUBLE,
  bias_after_pct DOUBLE, sd_before_pct DOUBLE, sd_after_pct DOUBLE, change_pct DOUBLE, low_pct DOUBLE, high_pct DOUBLE,
  verdict VARCHAR);
CREATE TABLE IF NOT EXISTS asked.base_productivity(
  base VARCHAR, turnarounds INTEGER, distance_nm DOUBLE, gallons_per_turnaround DOUBLE, gallons_per_hour DOUBLE, fill_min DOUBLE,
  out_min DOUBLE, scene_min DOUBLE, back_min DOUBLE, hold_min DOUBLE, curve_gallons_per_hour DOUBLE, nearer_gallons_per_hour DOUBLE,
  faster_gallons_per_hour DOUBLE, fixed_min DOUBLE, speed_kt DOUBLE, speed_low_kt DOUBLE, speed_high_kt DOUBLE, fitted INTEGER);
CREATE TABLE IF NOT EXISTS asked.productivity_curve(
  base VARCHAR, distance_nm DOUBLE, gallons_per_hour DOUBLE, faster_gallons_per_hour DOUBLE, turnarounds INTEGER,
  observed_gallons_per_hour DOUBLE);
CREATE TABLE IF NOT EXISTS asked.season_rate(
  measure VARCHAR, unit VARCHAR, season VARCHAR, season_value DOUBLE, season_n INTEGER, against VARCHAR, against_value DOUBLE,
  against_n INTEGER, difference DOUBLE, low DOUBLE, high DOUBLE, method VARCHAR, from_month_day VARCHAR, to_month_day VARCHAR,
  aircraft VARCHAR[]);
-- What the rows of a tank's chart, or of all traces, were made from.
CREATE TABLE IF NOT EXISTS effectiveness.mark(name VARCHAR, mark VARCHAR);
CREATE TABLE IF NOT EXISTS effectiveness.trace(
  trace BIGINT, aircraft VARCHAR, record VARCHAR, last_obs_no BIGINT, samples INTEGER, hz DOUBLE, groundspeed_kt DOUBLE,
  height_ft DOUBLE, door_open_s DOUBLE, door_full_s DOUBLE, door_peak_pct DOUBLE, status VARCHAR, starts_s DOUBLE, ends_s DOUBLE,
  evacuation_se_s DOUBLE, level_before_gal DOUBLE, volume_gal DOUBLE, volume_se_gal DOUBLE, bend DOUBLE, bend_se DOUBLE,
  noise_gal DOUBLE, is_cut BOOLEAN);
CREATE TABLE IF NOT EXISTS effectiveness.trace_drop(trace BIGINT, "drop" VARCHAR, matched_by VARCHAR);
`

/** Days of each aircraft with mission flights: gallons and drops of fire drops with a known flight, and hours. */
const missions = `
CREATE OR REPLACE VIEW effectiveness.mission_day AS
  WITH flown AS (
    SELECT season, aircraft, operating_day, sum(airborne_hours::DECIMAL(38,15))::DOUBLE AS hours FROM answers.flight WHERE is_mission GROUP BY ALL),
  dropped AS (
    SELECT aircraft, operating_day, coalesce(sum(volume_gal::DECIMAL(38,9))::DOUBLE, 0) AS gallons, count(*)::DOUBLE AS drops
    FROM answers."drop" WHERE purpose = 'fire' AND flight IS NOT NULL GROUP BY ALL)
  SELECT f.*, coalesce(d.gallons, 0) AS gallons, coalesce(d.drops, 0) AS drops
  FROM flown f LEFT JOIN dropped d ON d.aircraft = f.aircraft AND d.operating_day = f.operating_day WHERE f.hours > 0;
`

/** Drops whose setting can be judged: measured release, known command, and enough in the tank to give it. */
const settings = `
CREATE OR REPLACE MACRO effectiveness.settings_in(wanted_season, first_day, last_day, of_aircraft, of_tank, of_base, of_fire, of_fluid) AS TABLE
  WITH traced AS (
    SELECT m."drop", t.volume_gal AS trace_gal FROM effectiveness.trace_drop m JOIN effectiveness.trace t ON t.trace = m.trace
    WHERE t.status = 'read' AND NOT t.is_cut),
  measured AS (
    SELECT d.*, CASE WHEN d.is_measured THEN d.witnessed_gal ELSE t.trace_gal END AS measured_gal
    FROM answers.drops_in(wanted_season, first_day, last_day, of_aircraft, of_tank, of_base, of_fire, of_fluid) d
    LEFT JOIN traced t ON t."drop" = d."drop")
  SELECT "drop", tank, aircraft, dropped_at, operating_day, season, coverage_level, is_open_ended, fraction, commanded_gal,
    measured_gal, is_measured, 100 * (measured_gal - commanded_gal) / commanded_gal AS error_pct
  FROM measured
  WHERE tank IS NOT NULL AND measured_gal IS NOT NULL AND commanded_gal > 0
    AND NOT is_command_above_level AND NOT is_emergency_release AND purpose NOT IN ('ground-test', 'emergency');
`

export const schemaSql: string = [
  tables,
  intervalMacros,
  settings,
  releaseSql,
  fuelSql,
  assessmentSql,
  heightSql,
  cupSql,
  missions,
].join('\n')
