-- The first load of each aircraft in scope from `end` on, where it comes before all else that the aircraft does, and is the first
-- of its tank, too. A row without a load: of that one, something else comes first.
WITH late AS (
  SELECT aircraft, tank, loaded_at, load FROM account.load WHERE loaded_at >= $end::TIMESTAMP AND is_near_aircraft(aircraft)),
first_load AS (
  SELECT aircraft, min({'at': loaded_at, 'load': load, 'tank': tank}) AS one FROM late GROUP BY aircraft),
first_of_tank AS (
  SELECT tank, min({'at': loaded_at, 'load': load}) AS one FROM late WHERE is_near_tank(tank) GROUP BY tank),
other AS (
  SELECT aircraft, min(moment) AS moment, bool_or(is_fluid) AS is_fluid FROM (
    SELECT aircraft, min(dropped_at) AS moment, true AS is_fluid FROM account."drop"
    WHERE dropped_at >= $end::TIMESTAMP AND is_near_aircraft(aircraft) GROUP BY aircraft
    UNION ALL SELECT aircraft, min(offloaded_at), true FROM account.offload
    WHERE offloaded_at >= $end::TIMESTAMP AND is_near_aircraft(aircraft) GROUP BY aircraft
    UNION ALL SELECT aircraft, min(off_at), false FROM account.flight
    WHERE off_at >= $end::TIMESTAMP AND is_near_aircraft(aircraft) GROUP BY aircraft)
  GROUP BY aircraft)
SELECT CASE WHEN o.moment < l.one['at'] THEN NULL ELSE l.one['load'] END AS load, l.one['at']::VARCHAR AS loaded_at
FROM first_load l LEFT JOIN other o ON o.aircraft = l.aircraft
UNION ALL SELECT NULL, NULL FROM other WHERE is_fluid AND aircraft NOT IN (SELECT aircraft FROM first_load)
UNION ALL SELECT NULL, NULL FROM first_of_tank WHERE one['load'] NOT IN (SELECT one['load'] FROM first_load)
ORDER BY load
