-- title: Tank balance
-- grain: one row per load cycle
-- params: season, from, to, aircraft, tank
-- columns:
--   tank               tank serial
--   opened_at          load that opens the cycle, UTC
--   loaded_gal         volume loaded, meter bias taken out, US gal
--   dropped_gal        volume released, US gal
--   offloaded_gal      volume taken out on the ground, US gal
--   residual_gal       level by the walk less the gauge before the next load, US gal; positive: left unrecorded
--   finding            unrecorded-release or unrecorded-load
--   inferred_openings  openings that the balance asks for and nobody wrote down
--   missing_gal        volume that left unrecorded, US gal
--   short_gal          volume released that no load accounts for, US gal
--   level_before_gal   level before the load, US gal
--   level_after_gal    level after the load, US gal
--   level_at_close_gal level at the end of the cycle, US gal
--   load               id of the load
--   aircraft           aircraft that carried the tank
--   operating_day      local day of the base
--   closed_at          next load, UTC; null while open
SELECT tank, opened_at, loaded_gal, dropped_gal, offloaded_gal, residual_gal, finding, inferred_openings, missing_gal, short_gal,
  level_before_gal, level_after_gal, level_at_close_gal, load, aircraft, operating_day, closed_at
FROM account.cycle
WHERE ($season IS NULL OR season = $season OR year(operating_day)::VARCHAR = $season)
  AND ($from IS NULL OR operating_day >= $from::DATE) AND ($to IS NULL OR operating_day <= $to::DATE)
  AND ($aircraft IS NULL OR aircraft = $aircraft) AND ($tank IS NULL OR tank = $tank)
ORDER BY tank, opened_at, load
