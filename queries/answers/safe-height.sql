-- title: Drops below a published height
-- grain: one row per fire drop and rule that it was below
-- params: season, from, to, aircraft, tank, base, fire
-- columns:
--   drop             drop
--   dropped_at       when, UTC
--   aircraft         registration
--   class            class of the aircraft
--   tank             tank serial number
--   height_ft        height above ground, ft
--   minimum_ft       height that the rule gives, ft
--   short_ft         height missing, ft
--   rule             single-engine, large, very-large, or formula
--   rule_text        the rule and its source
--   volume_gal       US gal released
--   peak_flow_gal_s  stated peak flow of the tank, US gal/s
-- note: Caution: local rules, the aircraft's own limits and the crew's judgment decide; this list only shows what the records say. Published
--   minimums are above the canopy, heights here are above ground.
-- note: Formula: 101 + 0.0112 L + 0.0202 P + 50 ft for L gal at a peak flow of P gal/s (USDA Forest Service, Safe Drop Height for Fixed-Wing
--   Airtankers, 0057-2317-MTDC, 2000); not for constant-flow tanks, not for single-engine airtankers. The minimums of 150 and 250 ft are
--   from memory of NWCG PMS 505.
SELECT "drop", dropped_at, aircraft, class, tank, height_ft, minimum_ft, minimum_ft - height_ft AS short_ft, rule, rule_text, volume_gal,
  peak_flow_gal_s
FROM effectiveness.low_drop
WHERE ($season IS NULL OR season = $season OR year(operating_day)::VARCHAR = $season)
  AND ($from IS NULL OR operating_day >= $from::DATE) AND ($to IS NULL OR operating_day <= $to::DATE)
  AND ($aircraft IS NULL OR aircraft = $aircraft) AND ($tank IS NULL OR tank = $tank)
  AND ($base IS NULL OR coalesce(base, 'unknown') = $base) AND ($fire IS NULL OR coalesce(fire, 'unattributed') = $fire)
ORDER BY short_ft DESC, dropped_at, "drop", rule
