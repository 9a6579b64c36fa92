-- title: Load cycles that do not add up
-- grain: one row per load cycle, the 200 with the largest residual or a finding
-- params: season, from, to, aircraft, tank
-- columns:
--   tank            tank serial
--   load            id of the load that opens the cycle; opens its evidence
--   opened_at       when it was loaded, UTC
--   aircraft        registration
--   loaded_gal      loaded, US gal
--   dropped_gal     released, US gal
--   offloaded_gal   taken out on the ground, US gal
--   residual_gal    level by the walk less the gauge before the next load, US gal; positive: fluid left unrecorded
--   finding         what is wrong with it
SELECT tank, load, opened_at, aircraft, loaded_gal, dropped_gal, offloaded_gal, residual_gal, finding
FROM account.cycle
WHERE ($season IS NULL OR season = $season OR year(operating_day)::VARCHAR = $season)
  AND ($from IS NULL OR operating_day >= $from::DATE) AND ($to IS NULL OR operating_day <= $to::DATE)
  AND ($aircraft IS NULL OR aircraft = $aircraft) AND ($tank IS NULL OR tank = $tank)
  AND (residual_gal IS NOT NULL OR finding IS NOT NULL)
ORDER BY finding IS NULL, abs(residual_gal) DESC NULLS LAST, tank, opened_at
LIMIT 200
