-- Drops below a published height. Rules read in their source: one finding per aircraft, day and rule. Minimums known from memory only: one
-- note per aircraft, season and rule, so that they do not nag. Local rules and the aircraft's own limits decide.
WITH low AS (
  SELECT *, CASE WHEN rule IN ('large', 'very-large') THEN season ELSE operating_day::VARCHAR END AS span FROM effectiveness.low_drops_of(told_aircraft(), told_day()))
SELECT 'below-safe-height' AS finding, CASE WHEN rule = 'single-engine' THEN 'warning' ELSE 'note' END AS severity,
  aircraft || ' ' || span || ' ' || rule AS subject, min(dropped_at) AS happened_at,
  format('{} {} of {} in {} below {}, the lowest at {:.0f} ft where it says {:.0f} ft; local rules and the aircraft''s own limits decide, and heights here are above ground, not above the canopy',
    count(*), CASE WHEN count(*) = 1 THEN 'drop' ELSE 'drops' END, aircraft, span, any_value(rule_text), min(height_ft),
    arg_min(minimum_ft, height_ft)) AS message,
  list('drop:' || "drop" ORDER BY dropped_at, "drop") AS evidence, aircraft, min(tank) AS tank
FROM low WHERE is_told_span(rule, span) GROUP BY aircraft, span, rule
