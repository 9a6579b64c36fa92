-- title: Two groups of outcomes compared
-- grain: one row per rate and group, against another group or all the others
-- params: season, from, to, aircraft, tank, base, fire, fluid, by, one, other
-- columns:
--   rate           interaction or success
--   group_name     objective, or what by asks for
--   against        the group that it is compared with, or all others
--   yes            drops that met fire, or were effective
--   known          drops for which that is known
--   group_rate     yes by known
--   against_yes    the same of the other group
--   against_known  the same of the other group
--   against_rate   the same of the other group
--   difference     group_rate - against_rate
--   low            low end of its 95 % interval
--   high           high end of its 95 % interval
--   is_different   the interval leaves out zero
--   is_small       fewer than 10 known on either side: a hint, not a finding
-- note: Interval of the difference after Newcombe (1998), method 10; a rate of nothing is blank, and so is its difference.
-- note: Of twenty comparisons one leaves out zero by chance; crews do not choose drops by lot, so a difference is not yet a cause.
-- note: by is objective (unless given), class, fuel, coverage, wind, height, fluid, aircraft, tank or season.
WITH grouped AS (
  SELECT effectiveness.group_of($by, objective, class, fuel, coverage_level, is_open_ended, wind_kt, height_ft, fluid, aircraft,
      tank, season) AS group_name, met_fire, effective
  FROM effectiveness.outcomes_in($season, $from, $to, $aircraft, $tank, $base, $fire, $fluid)),
counted AS (
  SELECT group_name, 'interaction' AS rate, (count(*) FILTER (WHERE met_fire = 'yes'))::INTEGER AS yes,
    (count(*) FILTER (WHERE met_fire IN ('yes', 'no')))::INTEGER AS known FROM grouped GROUP BY group_name
  UNION ALL
  SELECT group_name, 'success', (count(*) FILTER (WHERE effective = 'yes'))::INTEGER,
    (count(*) FILTER (WHERE effective IN ('yes', 'no')))::INTEGER FROM grouped GROUP BY group_name),
paired AS (
  SELECT a.rate, a.group_name, coalesce($other, 'all others') AS against, a.yes, a.known,
    coalesce(sum(b.yes), 0)::INTEGER AS against_yes, coalesce(sum(b.known), 0)::INTEGER AS against_known
  FROM counted a LEFT JOIN counted b ON b.rate = a.rate AND b.group_name <> a.group_name AND ($other IS NULL OR b.group_name = $other)
  WHERE ($one IS NULL OR a.group_name = $one) AND ($other IS NULL OR a.group_name <> $other)
  GROUP BY a.rate, a.group_name, a.yes, a.known)
SELECT rate, group_name, against, yes, known, yes / nullif(known, 0) AS group_rate, against_yes, against_known,
  against_yes / nullif(against_known, 0) AS against_rate,
  yes / nullif(known, 0) - against_yes / nullif(against_known, 0) AS difference,
  effectiveness.newcombe_low(yes, known, against_yes, against_known) AS low,
  effectiveness.newcombe_high(yes, known, against_yes, against_known) AS high,
  effectiveness.newcombe_low(yes, known, against_yes, against_known) > 0
    OR effectiveness.newcombe_high(yes, known, against_yes, against_known) < 0 AS is_different,
  least(known, against_known) < 10 AS is_small
FROM paired ORDER BY rate, known DESC, group_name
