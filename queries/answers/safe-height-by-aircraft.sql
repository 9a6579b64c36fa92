-- title: Drops below a published height, by aircraft
-- grain: one row per aircraft and rule that any of its drops was below
-- params: season, from, to, aircraft, tank, base, fire
-- columns:
--   aircraft    registration
--   class       class of the aircraft
--   rule        single-engine, large, very-large, or formula
--   heights     fire drops whose height is on record
--   below       of them below the height that the rule gives
--   below_rate  below by heights
--   below_low   low end of its 95 % interval
--   below_high  high end of its 95 % interval
--   lowest_ft   lowest of them above ground, ft
--   largest_short_ft  height missing at the most, ft
--   rule_text   the rule and its source
-- note: Caution: local rules, the aircraft's own limits and the crew's judgment decide; this list only shows what the records say. Published
--   minimums are above the canopy, heights here are above ground. safe-height lists the drops.
WITH low AS (
  SELECT * FROM effectiveness.low_drop
  WHERE ($season IS NULL OR season = $season OR year(operating_day)::VARCHAR = $season)
    AND ($from IS NULL OR operating_day >= $from::DATE) AND ($to IS NULL OR operating_day <= $to::DATE)
    AND ($aircraft IS NULL OR aircraft = $aircraft) AND ($tank IS NULL OR tank = $tank)
    AND ($base IS NULL OR coalesce(base, 'unknown') = $base) AND ($fire IS NULL OR coalesce(fire, 'unattributed') = $fire)),
known AS (
  SELECT aircraft, count(*)::INTEGER AS heights FROM answers.drops_in($season, $from, $to, $aircraft, $tank, $base, $fire, NULL)
  WHERE purpose = 'fire' AND height_ft IS NOT NULL GROUP BY aircraft),
grouped AS (
  SELECT aircraft, any_value(class) AS class, rule, count(*)::INTEGER AS below, min(height_ft) AS lowest_ft,
    max(minimum_ft - height_ft) AS largest_short_ft, any_value(rule_text) AS rule_text
  FROM low GROUP BY aircraft, rule)
SELECT g.aircraft, g.class, g.rule, k.heights, g.below, g.below / nullif(k.heights, 0) AS below_rate,
  effectiveness.wilson_low(g.below, k.heights) AS below_low, effectiveness.wilson_high(g.below, k.heights) AS below_high,
  g.lowest_ft, g.largest_short_ft, g.rule_text
FROM grouped g JOIN known k ON k.aircraft = g.aircraft ORDER BY g.below DESC, g.aircraft, g.rule
