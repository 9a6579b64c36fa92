-- Tank, load, flight and purpose of each drop.
CREATE OR REPLACE TEMP TABLE stage_drop AS
WITH mounted AS (
  SELECT d.r, d.aircraft, d.dropped_at, m.tank
  FROM told_drop d
  LEFT JOIN account.mounting m ON m.aircraft = d.aircraft AND d.dropped_at >= m.on_at AND (m.off_at IS NULL OR d.dropped_at < m.off_at)),
loaded AS (
  SELECT m.*, l.r AS load_r, l.loaded_at, l.base AS load_base, l.tank IS DISTINCT FROM m.tank AS is_other_tank
  FROM mounted m ASOF LEFT JOIN stage_load l ON l.aircraft = m.aircraft AND m.dropped_at >= l.loaded_at),
landed AS (
  SELECT l.*, coalesce(l.dropped_at >= e.on_at, false) AS is_elsewhere
  FROM loaded l LEFT JOIN landing_elsewhere e ON e.load_r = l.load_r),
-- The flight that holds the drop, 3 minutes either way; of two, the nearer.
near AS (
  SELECT l.*, f.r AS f_r, f.from_base AS f_from, f.previous_r,
    greatest(epoch_ms(f.off_at) - epoch_ms(dropped_at), epoch_ms(dropped_at) - epoch_ms(f.on_at), 0) AS f_gap,
    greatest(epoch_ms(f.previous_off) - epoch_ms(dropped_at), epoch_ms(dropped_at) - epoch_ms(f.previous_on), 0) AS previous_gap
  FROM landed l
  ASOF LEFT JOIN stage_flight f ON f.aircraft = l.aircraft AND l.dropped_at + INTERVAL 3 MINUTE >= f.off_at),
flown AS (
  SELECT * EXCLUDE (f_r, f_from, previous_r, f_gap, previous_gap),
    CASE WHEN previous_r IS NOT NULL AND previous_gap <= 180000 AND previous_gap <= f_gap THEN previous_r WHEN f_gap <= 180000 THEN f_r END AS flight_r
  FROM near)
SELECT f.*, coalesce(t.capacity_gal, a.max_load_gal) AS capacity_gal,
  coalesce(d.purpose, CASE WHEN d.is_emergency_release THEN 'emergency'
    WHEN f.flight_r IS NULL AND d.volume_gal <= 0.02 * coalesce(t.capacity_gal, a.max_load_gal, 0) THEN 'ground-test'
    ELSE 'fire' END) AS purpose,
  d.purpose IS NULL AND d.is_emergency_release IS NOT TRUE AS is_purpose_assumed
FROM flown f JOIN told_drop d ON d.r = f.r
LEFT JOIN account.tank t ON t.tank = f.tank LEFT JOIN account.aircraft a ON a.aircraft = f.aircraft;
