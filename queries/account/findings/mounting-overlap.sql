-- A tank in two airframes, or an airframe with two tanks, by what is written down.
WITH later AS (
  SELECT a.tank, a.aircraft, a.on_at, a.off_at, b.tank AS other_tank, b.aircraft AS other_aircraft, b.on_at AS other_on
  FROM obs.mounting a JOIN obs.mounting b ON b.fate = 'accepted' AND b.obs_no <> a.obs_no
    AND b.on_at >= a.on_at AND b.on_at < a.off_at AND (a.tank = b.tank OR a.aircraft = b.aircraft)
    AND (b.on_at > a.on_at OR b.obs_no > a.obs_no)
  WHERE a.fate = 'accepted')
SELECT CASE WHEN tank = other_tank AND aircraft <> other_aircraft THEN 'tank-in-two-places' ELSE 'mounting-overlap' END AS finding,
  CASE WHEN tank = other_tank AND aircraft <> other_aircraft THEN 'error' ELSE 'warning' END AS severity,
  'tank ' || tank || ' ' || strftime(on_at, '%Y-%m-%d %H:%M') || ' and ' || other_tank || ' ' || strftime(other_on, '%Y-%m-%d %H:%M')
    AS subject, other_on AS happened_at,
  CASE WHEN tank = other_tank
    THEN format('tank {} is on record on {} until {} and on {} from {}; the later mounting counts', tank, aircraft,
      strftime(off_at, '%Y-%m-%d %H:%M'), other_aircraft, strftime(other_on, '%Y-%m-%d %H:%M UTC'))
    ELSE format('{} is on record with tank {} until {} and with tank {} from {}; the later mounting counts', aircraft, tank,
      strftime(off_at, '%Y-%m-%d %H:%M'), other_tank, strftime(other_on, '%Y-%m-%d %H:%M UTC')) END AS message,
  ['tank:' || tank, 'tank:' || other_tank] AS evidence, NULL::VARCHAR AS aircraft, NULL::VARCHAR AS tank
FROM later
