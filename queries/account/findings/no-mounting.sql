-- Events of an aircraft that had no tank on record: they count for the aircraft only.
SELECT 'no-mounting' AS finding, 'error' AS severity, aircraft || ' ' || operating_day AS subject, min(happened_at) AS happened_at,
  format('no tank is on record on {} on {}: {} drops and {} loads count for the aircraft only, and for no tank', aircraft,
    operating_day, count(*) FILTER (WHERE kind = 'drop'), count(*) FILTER (WHERE kind = 'load')) AS message,
  list(kind || ':' || id ORDER BY happened_at, id) AS evidence, aircraft, NULL::VARCHAR AS tank
FROM (SELECT 'drop' AS kind, "drop" AS id, aircraft, operating_day, dropped_at AS happened_at FROM scoped_drop WHERE tank IS NULL
  UNION ALL SELECT 'load', load, aircraft, operating_day, loaded_at FROM scoped_load WHERE tank IS NULL)
GROUP BY aircraft, operating_day
