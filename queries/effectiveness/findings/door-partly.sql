-- Doors that opened less wide than the tank's doors do at that coverage level (5 traces at least), or less than 90 % on a tank whose doors
-- do not meter the flow.
WITH seen AS (
  SELECT t.*, d.dropped_at, d.tank, k.flow, median(t.door_peak_pct) OVER same AS usual_pct, count(*) OVER same AS traces
  FROM effectiveness.release t JOIN answers."drop" d ON d."drop" = t."drop" LEFT JOIN account.tank k ON k.tank = d.tank
  WHERE t.door_peak_pct IS NOT NULL AND t.status = 'read' AND is_told_tank(d.tank)
  WINDOW same AS (PARTITION BY d.tank, d.coverage_level))
SELECT 'door-partly' AS finding, 'warning' AS severity, 'drop ' || "drop" AS subject, dropped_at AS happened_at,
  CASE WHEN traces >= 5 AND door_peak_pct < 0.9 * usual_pct
    THEN format('the doors opened to {:.0f} %; this tank''s usually open to {:.0f} % at that setting', door_peak_pct, usual_pct)
    ELSE format('the doors opened to {:.0f} % only', door_peak_pct) END AS message,
  ['drop:' || "drop", 'obs:' || trace, 'tank:' || tank] AS evidence, aircraft, tank
FROM seen WHERE traces >= 5 AND door_peak_pct < 0.9 * usual_pct OR flow = 'gravity' AND door_peak_pct < 90
