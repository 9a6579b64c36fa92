-- A load that no flight, drop or offload followed before the next one, in a season in which this aircraft's flights are
-- on record. (The last load of each aircraft is a question of its own.)
WITH billed AS (
  SELECT l.*, coalesce(t.capacity_gal, a.max_load_gal) AS capacity_gal
  FROM scoped_load l LEFT JOIN account.tank t ON t.tank = l.tank LEFT JOIN account.aircraft a ON a.aircraft = l.aircraft),
flown AS (
  SELECT b.*, f.off_at FROM billed b
  ASOF LEFT JOIN scoped_flight f ON f.aircraft = b.aircraft AND b.loaded_at - INTERVAL 3 MINUTE <= f.off_at)
SELECT 'ticket-without-flight' AS finding, 'warning' AS severity, 'load ' || load AS subject, loaded_at AS happened_at,
  format('{:,d} gal were loaded at {} and no flight, drop or offload followed before the next load', round(volume_gal)::BIGINT,
    strftime(loaded_at, '%Y-%m-%d %H:%M UTC')) AS message,
  ['load:' || load] AS evidence, aircraft, tank
FROM flown b
WHERE list_contains(witnesses, 'ticket') AND next_at IS NOT NULL AND (off_at IS NULL OR off_at >= next_at)
  -- Two loads that fit into the tank together are one fill in two parts.
  AND (next_gal IS NULL OR capacity_gal IS NULL OR volume_gal + next_gal > 1.08 * capacity_gal)
  AND NOT EXISTS (SELECT 1 FROM scoped_drop d WHERE d.load = b.load)
  AND NOT EXISTS (SELECT 1 FROM account.offload o WHERE o.aircraft = b.aircraft AND o.offloaded_at >= b.loaded_at
    AND o.offloaded_at < b.next_at)
  AND EXISTS (SELECT 1 FROM account.flight f WHERE f.aircraft = b.aircraft AND f.season = b.season)
