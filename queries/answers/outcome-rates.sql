-- title: Outcomes of drops
-- grain: one row per group of assessed drops
-- params: season, from, to, aircraft, tank, base, fire, fluid, by
-- columns:
--   group_name         objective, or what by asks for
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
-- note: Wilson 95 % intervals; a rate of nothing is blank. An unknown counts as neither.
-- note: by is objective (unless given), class, fuel, coverage, wind, height, fluid, aircraft, tank or season; the fuel is the
--   observer's, else that of the fire's record.
-- note: An assessment belongs to the drop with its record, else to the aircraft's last fire drop within 30 min before it.
SELECT * EXCLUDE ("by")
FROM effectiveness.outcome_rates_by([$by::VARCHAR], $season, $from, $to, $aircraft, $tank, $base, $fire, $fluid)
ORDER BY group_name = 'unknown', assessed DESC, group_name
