import { assessmentSql } from './assessments-sql.ts'
import { fuelSql } from './fuel.ts'
import { intervalMacros } from './intervals-sql.ts'

/**
 * `effectiveness`: what is said of releases and outcomes beyond the account.
 * `asked`: what a question needed computed, as it was last asked; it is no part of the account and can be thrown away at any time.
 */
const tables = `
CREATE SCHEMA IF NOT EXISTS effectiveness;
CREATE SCHEMA IF NOT EXISTS asked;
CREATE TABLE IF NOT EXISTS asked.control_point(
  tank VARCHAR, run INTEGER, run_started_at TIMESTAMP, "drop" VARCHAR, dropped_at TIMESTAMP, operating_day DATE, season VARCHAR,
  aircraft VARCHAR, error_pct DOUBLE, ewma_pct DOUBLE, upper_pct DOUBLE, lower_pct DOUBLE, slow_ewma_pct DOUBLE,
  slow_upper_pct DOUBLE, slow_lower_pct DOUBLE, center_pct DOUBLE, is_alarm BOOLEAN);
CREATE TABLE IF NOT EXISTS asked.drift_alarm(
  tank VARCHAR, run INTEGER, from_at TIMESTAMP, from_drop VARCHAR, ewma_pct DOUBLE, limit_pct DOUBLE, center_pct DOUBLE,
  sd_pct DOUBLE, stable_drops INTEGER, direction VARCHAR, chart VARCHAR, alarm_at TIMESTAMP, alarm_drop VARCHAR,
  operating_day DATE, season VARCHAR, shape VARCHAR, change_drop VARCHAR, change_at TIMESTAMP, change_low_drop VARCHAR,
  change_low_at TIMESTAMP, change_high_drop VARCHAR, change_high_at TIMESTAMP, adjusted_at TIMESTAMP, aircraft VARCHAR);
`

/** Drops whose setting can be judged: measured release, known command, and enough in the tank to give it. */
const settings = `
CREATE OR REPLACE MACRO effectiveness.settings_in(wanted_season, first_day, last_day, of_aircraft, of_tank, of_base, of_fire, of_fluid) AS TABLE
  SELECT "drop", tank, aircraft, dropped_at, operating_day, season, coverage_level, is_open_ended, fraction, commanded_gal,
    witnessed_gal AS measured_gal, 100 * (witnessed_gal - commanded_gal) / commanded_gal AS error_pct
  FROM answers.drops_in(wanted_season, first_day, last_day, of_aircraft, of_tank, of_base, of_fire, of_fluid)
  WHERE tank IS NOT NULL AND is_measured AND witnessed_gal IS NOT NULL AND commanded_gal > 0
    AND NOT is_command_above_level AND NOT is_emergency_release AND purpose NOT IN ('ground-test', 'emergency');
`

export const schemaSql: string = [tables, intervalMacros, settings, assessmentSql, fuelSql].join('\n')
