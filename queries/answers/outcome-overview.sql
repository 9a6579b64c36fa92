-- title: Outcomes of drops by everything that may matter
-- grain: one row per way of grouping and group of assessed drops
-- params: season, from, to, aircraft, tank, base, fire, fluid
-- columns:
--   by                 what the groups are by: objective, class, fuel, coverage, wind or height
--   group_name         group, or unknown
--   assessed           drops that an observer assessed
--   met_fire           of them known to have met fire
--   interaction_rate   met fire, of those for which it is known
--   interaction_low    low end of its 95 % interval
--   interaction_high   high end of its 95 % interval
--   effective          known to have been effective
--   not_effective      known not to have been effective
--   success_rate       effective, of effective and not effective
--   success_low        low end of its 95 % interval
--   success_high       high end of its 95 % interval
--   met_unknown        drops of which nobody could tell whether they met fire; in no rate
--   effective_unknown  drops of which nobody could tell whether they were effective; in no rate
--   is_small           fewer than 10 known outcomes: a hint, not a finding
-- note: The same figures as outcome-rates, for all ways of grouping at once. Wilson 95 % intervals; an unknown counts as neither.
WITH judged AS (
  SELECT *, unnest(['objective', 'class', 'fuel', 'coverage', 'wind', 'height']) AS "by"
  FROM effectiveness.outcomes_in($season, $from, $to, $aircraft, $tank, $base, $fire, $fluid)),
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
FROM counted ORDER BY "by", group_name = 'unknown', assessed DESC, group_name
