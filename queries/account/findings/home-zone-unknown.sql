-- Events of an aircraft that no base is known for yet: their day is that of the home zone, or of UTC.
SELECT 'home-zone-unknown' AS finding, 'note' AS severity, aircraft || coalesce(' ' || tank, '') AS subject,
  min(happened_at) AS happened_at,
  format('no base is known for {} event(s) of {}; their day is the date in {}', count(*), aircraft,
    coalesce((SELECT zone FROM home_zone), 'UTC, as no home zone is set')) AS message,
  list(kind || ':' || id ORDER BY happened_at, id) AS evidence, aircraft, tank
FROM (SELECT 'drop' AS kind, "drop" AS id, aircraft, tank, dropped_at AS happened_at FROM account."drop" WHERE is_home
  UNION ALL SELECT 'load', load, aircraft, tank, loaded_at FROM account.load WHERE is_home)
WHERE is_touched(aircraft) OR is_near_tank(tank)
GROUP BY aircraft, tank
