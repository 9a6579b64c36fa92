-- Two flights of one aircraft that overlap by more than 3 minutes; or two loads at bases farther apart than it can fly in the
-- time between them, of which 10 minutes are the clerks' rounding. Of a base without a place it is only known to be another.
SELECT 'aircraft-in-two-places' AS finding, 'error' AS severity, 'flight ' || flight AS subject, off_at AS happened_at,
  format('{} took off at {} while its flight {} was in the air until {}', aircraft, strftime(off_at, '%Y-%m-%d %H:%M UTC'), earlier,
    strftime(earlier_on, '%H:%M UTC')) AS message,
  ['flight:' || flight, 'flight:' || earlier] AS evidence, aircraft, NULL::VARCHAR AS tank
FROM (SELECT *, lag(flight) OVER earlier_flight AS earlier, lag(on_at) OVER earlier_flight AS earlier_on FROM scoped_flight
  WHERE is_touched(aircraft)
  WINDOW earlier_flight AS (PARTITION BY aircraft ORDER BY off_at, flight))
WHERE earlier_on > off_at + INTERVAL 3 MINUTE
UNION ALL
SELECT 'aircraft-in-two-places', 'error', 'load ' || load, loaded_at,
  format('{} was loaded at {} at {} and at {} {:.0f} min before{}', aircraft, base, strftime(loaded_at, '%Y-%m-%d %H:%M UTC'), earlier_base,
    epoch(loaded_at - earlier_at) / 60, CASE WHEN apart_nm IS NULL THEN '' ELSE format(', {:.0f} NM away', apart_nm) END),
  ['load:' || load, 'load:' || earlier], aircraft, NULL::VARCHAR
FROM (
  SELECT l.*, a.max_speed_kt, account.distance_nm(b.latitude, b.longitude, o.latitude, o.longitude) AS apart_nm
  FROM (
    SELECT load, loaded_at, aircraft, base, lag(load) OVER earlier_load AS earlier, lag(loaded_at) OVER earlier_load AS earlier_at,
      lag(base) OVER earlier_load AS earlier_base
    FROM scoped_load WHERE is_touched(aircraft)
    WINDOW earlier_load AS (PARTITION BY aircraft ORDER BY loaded_at, load)
  ) l JOIN account.base b ON b.base = l.base JOIN account.base o ON o.base = l.earlier_base
  LEFT JOIN account.aircraft a ON a.aircraft = l.aircraft
  WHERE l.base <> l.earlier_base AND l.loaded_at < l.earlier_at + INTERVAL 3 HOUR)
WHERE CASE WHEN apart_nm IS NULL THEN loaded_at < earlier_at + INTERVAL 5 MINUTE
  ELSE apart_nm > 5 AND apart_nm / coalesce(nullif(max_speed_kt, 0), 400) * 60 > epoch(loaded_at - earlier_at) / 60 + 10 END
