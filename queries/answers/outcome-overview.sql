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
SELECT *
FROM effectiveness.outcome_rates_by(['objective', 'class', 'fuel', 'coverage', 'wind', 'height'], $season, $from, $to, $aircraft, $tank, $base, $fire, $fluid)
ORDER BY "by", group_name = 'unknown', assessed DESC, group_name
