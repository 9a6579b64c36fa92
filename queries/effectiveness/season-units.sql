-- The pieces of every rate, tagged with season, aircraft and month and day: k and n for shares, x for means, gallons, drops and hours of a day.
SELECT 'interaction rate' AS measure, season, aircraft, strftime(operating_day, '%m-%d') AS month_day,
  CASE WHEN met_fire = 'yes' THEN 1 ELSE 0 END::DOUBLE AS y, 1::DOUBLE AS x
FROM effectiveness.outcome WHERE met_fire IN ('yes', 'no')
UNION ALL
SELECT 'success rate', season, aircraft, strftime(operating_day, '%m-%d'), CASE WHEN effective = 'yes' THEN 1 ELSE 0 END, 1
FROM effectiveness.outcome WHERE effective IN ('yes', 'no')
UNION ALL
SELECT 'overflow rate', season, aircraft, strftime(operating_day, '%m-%d'),
  CASE WHEN is_overfill OR coalesce(lower(overflow::VARCHAR), 'no') IN ('yes', 'true') THEN 1 ELSE 0 END, 1
FROM answers.load
UNION ALL
SELECT 'setting error', season, aircraft, strftime(operating_day, '%m-%d'), error_pct, 1
FROM effectiveness.settings_in(NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL)
UNION ALL
SELECT 'fill error', season, aircraft, strftime(operating_day, '%m-%d'),
  100 * (coalesce(gauge_gal, corrected_gal, volume_gal) - target_gal) / target_gal, 1
FROM answers.load WHERE target_gal > 0 AND coalesce(gauge_gal, corrected_gal, volume_gal) IS NOT NULL
UNION ALL
SELECT 'turnaround', season, aircraft, strftime(operating_day, '%m-%d'), turnaround_min, 1 FROM answers.load WHERE turnaround_min IS NOT NULL
UNION ALL
SELECT 'gallons per drop', season, aircraft, strftime(operating_day, '%m-%d'), volume_gal, 1
FROM answers."drop" WHERE purpose = 'fire' AND volume_gal IS NOT NULL
UNION ALL
SELECT 'gallons per mission hour', season, aircraft, strftime(operating_day, '%m-%d'), gallons, hours FROM effectiveness.mission_day
UNION ALL
SELECT 'drops per mission hour', season, aircraft, strftime(operating_day, '%m-%d'), drops, hours FROM effectiveness.mission_day
UNION ALL
SELECT 'airborne hours per day', season, aircraft, strftime(operating_day, '%m-%d'), hours, 1 FROM (
  SELECT season, aircraft, operating_day, sum(airborne_hours::DECIMAL(38,15))::DOUBLE AS hours FROM answers.flight GROUP BY ALL)
ORDER BY measure, season, aircraft, month_day, y, x
