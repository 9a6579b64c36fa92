-- A drop while the aircraft stood: after a landing and not loaded again, during a fill, or at walking speed.
WITH loose AS (SELECT * FROM scoped_drop WHERE purpose <> 'ground-test' AND (flight IS NULL OR groundspeed_kt < 30)),
flown AS (SELECT * FROM scoped_flight SEMI JOIN loose USING (aircraft, operating_day)),
loaded AS (SELECT * FROM scoped_load SEMI JOIN loose USING (aircraft, operating_day)),
landed AS (
  SELECT d.*, f.on_at, f.operating_day AS landed_day FROM loose d
  ASOF LEFT JOIN flown f ON f.aircraft = d.aircraft AND d.dropped_at >= f.on_at),
between_flights AS (
  SELECT d.*, f.off_at, f.operating_day AS flown_day FROM landed d
  ASOF LEFT JOIN flown f ON f.aircraft = d.aircraft AND d.dropped_at <= f.off_at),
filled AS (
  SELECT d.*, l.started_at, l.load AS filling FROM between_flights d
  ASOF LEFT JOIN loaded l ON l.aircraft = d.aircraft AND d.dropped_at <= l.loaded_at),
-- A load since the landing means that a flight is missing from the records, not that the aircraft stood.
reloaded AS (
  SELECT d.*, l.loaded_at > d.on_at AS is_reloaded FROM filled d
  ASOF LEFT JOIN loaded l ON l.aircraft = d.aircraft AND d.dropped_at >= l.loaded_at)
SELECT 'drop-on-ground' AS finding, 'warning' AS severity, 'drop ' || "drop" AS subject, dropped_at AS happened_at,
  CASE WHEN groundspeed_kt < 30 THEN format('a {} drop at a ground speed of {:.0f} kt', purpose, groundspeed_kt)
    WHEN dropped_at > started_at THEN format('a {} drop while the tank was being filled (load {})', purpose, filling)
    ELSE format('a {} drop at {} after the aircraft had landed at {}; it was not loaded again and its next flight on record {}', purpose,
      strftime(dropped_at, '%H:%M'), strftime(on_at, '%H:%M UTC'),
      CASE WHEN flown_day = operating_day THEN strftime(off_at, 'began at %H:%M UTC') ELSE 'is on another day' END) END AS message,
  ['drop:' || "drop"] AS evidence, aircraft, tank
FROM reloaded
WHERE groundspeed_kt < 30 OR dropped_at > started_at
  OR landed_day = operating_day AND is_reloaded IS NOT TRUE
