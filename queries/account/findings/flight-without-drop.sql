-- A loaded flight after which the tank was empty, with no drop and no offload written down. Where the gauge saw fluid in it
-- before the next load, that was carried over.
WITH silent AS (
  SELECT c.* FROM account.cycle c JOIN account.tank t ON t.tank = c.tank
  WHERE coalesce(c.level_at_close_gal - c.residual_gal <= 0.08 * t.capacity_gal, true) AND c.inferred_openings > 0 AND c.dropped_gal = 0 AND c.offloaded_gal = 0 AND c.opened_at >= cut_at() AND c.opened_at < end_at() AND is_near_tank(c.tank)
    AND NOT EXISTS (SELECT 1 FROM scoped_drop d WHERE d.load = c.load))
SELECT 'flight-without-drop' AS finding, 'warning' AS severity, 'flight ' || f.flight AS subject, f.off_at AS happened_at,
  format('the flight from {} to {} left with {:,d} gal; no drop, offload or carry-over is on record for them',
    strftime(f.off_at, '%Y-%m-%d %H:%M'), strftime(f.on_at, '%H:%M UTC'), round(c.level_after_gal)::BIGINT) AS message,
  ['flight:' || f.flight, 'load:' || c.load] AS evidence, c.aircraft, c.tank
FROM silent c JOIN scoped_flight f ON f.aircraft = c.aircraft AND f.off_at >= c.opened_at AND f.on_at <= c.closed_at
  AND c.inferred_at BETWEEN f.off_at AND f.on_at
