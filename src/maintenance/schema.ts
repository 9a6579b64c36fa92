const dueColumns = `
  limit_no INTEGER, task VARCHAR, title VARCHAR, item VARCHAR, kind VARCHAR, tank VARCHAR, position VARCHAR, counter VARCHAR,
  limit_at DOUBLE, total DOUBLE, remaining DOUBLE, due_on_p10 DATE, due_on_p50 DATE, due_on_p90 DATE, status VARCHAR,
  governs BOOLEAN, since_last DOUBLE, counted_through DATE, reason VARCHAR, tolerance_at DOUBLE, window_from DOUBLE,
  horizon DOUBLE, last_done_on DATE, is_life_limit BOOLEAN, triggered_by VARCHAR, trigger_evidence VARCHAR,
  limit_before_extension DOUBLE, extension VARCHAR, forecast_basis VARCHAR`

/**
 * `maintenance`: what the programme and the work on record say that a person must look at.
 * `asked`: due lists and backtests as they were last asked for; no part of the account, and thrown away at any time.
 */
export const schemaSql = `
CREATE SCHEMA IF NOT EXISTS maintenance;
CREATE SCHEMA IF NOT EXISTS asked;
CREATE TABLE IF NOT EXISTS maintenance.finding(
  finding_id VARCHAR, finding VARCHAR, severity VARCHAR, subject VARCHAR, happened_at TIMESTAMP, message VARCHAR,
  evidence VARCHAR[], aircraft VARCHAR, tank VARCHAR);
CREATE TABLE IF NOT EXISTS asked.due(as_of DATE, seed DOUBLE, ${dueColumns});
CREATE TABLE IF NOT EXISTS asked.due_planned(
  task VARCHAR, title VARCHAR, item VARCHAR, kind VARCHAR, tank VARCHAR, position VARCHAR, counter VARCHAR, plan VARCHAR,
  limit_at DOUBLE, total DOUBLE, remaining DOUBLE, due_on_p10 DATE, due_on_p50 DATE, due_on_p90 DATE, status VARCHAR,
  governs BOOLEAN, reason VARCHAR, chance_due_before DOUBLE, now_limit_at DOUBLE, now_remaining DOUBLE, now_due_on_p10 DATE,
  now_due_on_p50 DATE, now_due_on_p90 DATE, now_status VARCHAR, as_of DATE, seed DOUBLE, per_day DOUBLE, "window" VARCHAR,
  done VARCHAR, swap VARCHAR);
CREATE TABLE IF NOT EXISTS asked.due_ahead(
  tank VARCHAR, counter VARCHAR, door VARCHAR, day DATE, used_p10 DOUBLE, used_p50 DOUBLE, used_p90 DOUBLE);
CREATE TABLE IF NOT EXISTS asked.due_backtest(
  horizon_days INTEGER, forecasts INTEGER, inside_80 DOUBLE, coverage DOUBLE, censored INTEGER, before_p10 INTEGER,
  after_p90 INTEGER, pinball_days DOUBLE, straight_line_pinball_days DOUBLE, season VARCHAR, tanks INTEGER, asked_season VARCHAR, tank VARCHAR, as_of DATE,
  every INTEGER, seed DOUBLE);
`
