-- A loaded flight after which most of the fluid was gone, with no drop and no offload written down. What the gauge saw in the tank
-- before the next load was carried over.
WITH silent AS (
  SELECT *, level_at_close_gal - residual_gal AS carried_gal FROM account.cycle c
  WHERE coalesce(level_at_close_gal - residual_gal <= residual_gal, true) AND c.inferred_openings > 0 AND c.dropped_gal = 0 AND c.offloaded_gal = 0 AND c.opened_at >= cut_at() AND c.opened_at < end_at() AND is_near_tank(c.tank)
    AND NOT EXISTS (SELECT 1 FROM scoped_drop d WHERE d.load = c.load))
SELECT 'flight-without-drop' AS finding, 'warning' AS severity, 'flight ' || f.flight AS subject, f.off_at AS happened_at,
  format('the flight from {} to {} left with {:,d} gal; ', strftime(f.off_at, '%Y-%m-%d %H:%M'), strftime(f.on_at, '%H:%M UTC'),
    round(c.level_after_gal)::BIGINT) || CASE WHEN round(c.carried_gal) > 0
    THEN format('{:,d} gal were in the tank before the next load, and no drop or offload is on record for the rest', round(c.carried_gal)::BIGINT)
    ELSE 'no drop, offload or carry-over is on record for them' END AS message,
  ['flight:' || f.flight, 'load:' || c.load] AS evidence, c.aircraft, c.tank
FROM silent c JOIN scoped_flight f ON f.aircraft = c.aircraft AND f.off_at >= c.opened_at AND f.on_at <= c.closed_at
  AND c.inferred_at BETWEEN f.off_at AND f.on_at
