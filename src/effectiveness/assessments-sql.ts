/**
 * Assessments with the drop that each speaks of.
 *
 * With a record: the drop of that aircraft and record nearest in time, from 12 h before to 30 min after the assessment (record
 * numbers may begin anew each day). Without one: the last fire drop of the aircraft within 30 min before; if there is none, one up to
 * 3 min after, since a crew rounds its times. A record that no controller's drop has falls back on a drop without a controller's
 * record. Of several assessments of one drop the latest known answer counts, so that a drop is counted once.
 */
const assessments = (ofAssessments: string, ofDrops: string): string => `
  WITH said AS (SELECT * FROM obs.assessment WHERE fate = 'accepted' ${ofAssessments}),
  near AS (
    SELECT a.obs_no, d."drop", d.dropped_at, a.assessed_at, a.record IS NOT NULL AND d.record = a.record AS is_by_record
    FROM said a JOIN ledger."drop" d ON d.aircraft = a.aircraft AND NOT d.is_excluded ${ofDrops}
      AND d.dropped_at BETWEEN a.assessed_at - INTERVAL 12 HOUR AND a.assessed_at + INTERVAL 30 MINUTE
    JOIN account."drop" t ON t."drop" = d."drop"
    WHERE d.record = a.record
      OR (a.record IS NULL OR d.record IS NULL) AND t.purpose = 'fire'
        AND d.dropped_at BETWEEN a.assessed_at - INTERVAL 30 MINUTE AND a.assessed_at + INTERVAL 3 MINUTE),
  chosen AS (
    SELECT obs_no, "drop", CASE WHEN is_by_record THEN 'record' ELSE 'time' END AS matched_by FROM near
    QUALIFY row_number() OVER (PARTITION BY obs_no ORDER BY is_by_record DESC,
      CASE WHEN is_by_record THEN abs(epoch(dropped_at - assessed_at)) END,
      dropped_at <= assessed_at DESC, dropped_at DESC, "drop") = 1)
  SELECT a.obs_no, a.assessed_at, a.aircraft, a.record, a.fire AS fire_text, a.fuel, a.objective, a.met_fire, a.effective, a.line_ft,
    a.observer_role, a.wind_kt, c."drop", c.matched_by
  FROM said a LEFT JOIN chosen c ON c.obs_no = a.obs_no;
`

export const assessmentSql = `
CREATE OR REPLACE VIEW effectiveness.assessment AS ${assessments('', '')}
-- Those of some aircraft, from a moment on; NULL for all.
CREATE OR REPLACE MACRO effectiveness.assessments_of(of_aircraft, from_at) AS TABLE ${assessments(
  'AND (of_aircraft IS NULL OR list_contains(of_aircraft, aircraft)) AND (from_at IS NULL OR assessed_at >= from_at)',
  `AND (of_aircraft IS NULL OR list_contains(of_aircraft, d.aircraft)) AND (from_at IS NULL OR d.dropped_at >= from_at - INTERVAL 13 HOUR)`,
)}
CREATE OR REPLACE VIEW effectiveness.outcome AS
  WITH one AS (
    SELECT coalesce("drop", 'assessment ' || obs_no) AS subject, any_value("drop") AS "drop", any_value(aircraft) AS aircraft,
      max(assessed_at) AS assessed_at, arg_max(fire_text, assessed_at) AS fire_text, arg_max(fuel, assessed_at) AS fuel,
      arg_max(objective, assessed_at) AS objective, arg_max(line_ft, assessed_at) AS line_ft,
      arg_max(wind_kt, assessed_at) AS wind_kt,
      coalesce(arg_max(met_fire, assessed_at) FILTER (WHERE met_fire IN ('yes', 'no')), 'unknown') AS met_fire,
      coalesce(arg_max(effective, assessed_at) FILTER (WHERE effective IN ('yes', 'no')), 'unknown') AS effective,
      count(*) AS assessments
    FROM effectiveness.assessment GROUP BY subject)
  SELECT o.subject, o."drop", o.aircraft, o.assessed_at, coalesce(nullif(trim(o.fuel), ''), nullif(trim(f.fuel), '')) AS fuel, o.objective, o.line_ft, o.wind_kt, o.met_fire, o.effective,
    o.assessments, d.tank, d.base, coalesce(d.fire, o.fire_text) AS fire, d.fluid, d.coverage_level,
    coalesce(d.is_open_ended, false) AS is_open_ended, d.height_ft, coalesce(d.operating_day, o.assessed_at::DATE) AS operating_day,
    coalesce(d.season, year(o.assessed_at)::VARCHAR) AS season, c.class
  FROM one o LEFT JOIN answers."drop" d ON d."drop" = o."drop"
  LEFT JOIN account.aircraft c ON c.aircraft = o.aircraft
  LEFT JOIN effectiveness.fire_fuel f ON f.number = d.fire AND f.season = d.fire_season;

CREATE OR REPLACE MACRO effectiveness.outcomes_in(wanted_season, first_day, last_day, of_aircraft, of_tank, of_base, of_fire, of_fluid) AS TABLE
  SELECT * FROM effectiveness.outcome
  WHERE (wanted_season IS NULL OR season = wanted_season OR year(operating_day)::VARCHAR = wanted_season)
    AND (first_day IS NULL OR operating_day >= first_day::DATE)
    AND (last_day IS NULL OR operating_day <= last_day::DATE)
    AND (of_aircraft IS NULL OR aircraft = of_aircraft)
    AND (of_tank IS NULL OR tank = of_tank)
    AND (of_base IS NULL OR coalesce(base, 'unknown') = of_base)
    AND (of_fire IS NULL OR coalesce(fire, 'unattributed') = of_fire)
    AND (of_fluid IS NULL OR fluid = of_fluid);

CREATE OR REPLACE MACRO effectiveness.group_of(wanted, objective, class, fuel, coverage_level, is_open_ended, wind_kt, height_ft,
    fluid, aircraft, tank, season) AS coalesce(CASE coalesce(wanted, 'objective')
  WHEN 'objective' THEN objective
  WHEN 'class' THEN class
  WHEN 'fuel' THEN fuel
  WHEN 'coverage' THEN CASE WHEN is_open_ended THEN '>' ELSE '' END || printf('%g', coverage_level)
  WHEN 'wind' THEN CASE WHEN wind_kt <= 5 THEN '0 to 5 kt' WHEN wind_kt <= 10 THEN '6 to 10 kt'
    WHEN wind_kt <= 15 THEN '11 to 15 kt' WHEN wind_kt <= 20 THEN '16 to 20 kt' WHEN wind_kt > 20 THEN 'over 20 kt' END
  WHEN 'height' THEN CASE WHEN height_ft < 150 THEN 'under 150 ft' WHEN height_ft < 200 THEN '150 to 199 ft'
    WHEN height_ft < 250 THEN '200 to 249 ft' WHEN height_ft >= 250 THEN '250 ft and more' END
  WHEN 'fluid' THEN fluid
  WHEN 'aircraft' THEN aircraft
  WHEN 'tank' THEN tank
  WHEN 'season' THEN season
  ELSE error('there are no groups by ' || wanted || left(aircraft, 0)
    || '; take objective, class, fuel, coverage, wind, height, fluid, aircraft, tank or season') END, 'unknown');

-- The figures of outcomes for each of some ways of grouping (those that effectiveness.group_of knows).
CREATE OR REPLACE MACRO effectiveness.outcome_rates_by(ways, wanted_season, first_day, last_day, of_aircraft, of_tank, of_base, of_fire,
    of_fluid) AS TABLE
  WITH judged AS (
    SELECT *, unnest(ways) AS "by"
    FROM effectiveness.outcomes_in(wanted_season, first_day, last_day, of_aircraft, of_tank, of_base, of_fire, of_fluid)),
  counted AS (
    SELECT "by", effectiveness.group_of("by", objective, class, fuel, coverage_level, is_open_ended, wind_kt, height_ft, fluid, aircraft,
        tank, season) AS group_name,
      count(*)::INTEGER AS assessed, (count(*) FILTER (WHERE met_fire = 'yes'))::INTEGER AS met_fire,
      (count(*) FILTER (WHERE met_fire = 'no'))::INTEGER AS not_met,
      (count(*) FILTER (WHERE effective = 'yes'))::INTEGER AS effective,
      (count(*) FILTER (WHERE effective = 'no'))::INTEGER AS not_effective
    FROM judged GROUP BY ALL)
  SELECT "by", group_name, assessed, met_fire, met_fire / nullif(met_fire + not_met, 0) AS interaction_rate,
    effectiveness.wilson_low(met_fire, met_fire + not_met) AS interaction_low,
    effectiveness.wilson_high(met_fire, met_fire + not_met) AS interaction_high,
    effective, not_effective, effective / nullif(effective + not_effective, 0) AS success_rate,
    effectiveness.wilson_low(effective, effective + not_effective) AS success_low,
    effectiveness.wilson_high(effective, effective + not_effective) AS success_high,
    assessed - met_fire - not_met AS met_unknown, assessed - effective - not_effective AS effective_unknown,
    effective + not_effective < 10 AS is_small
  FROM counted;
`
