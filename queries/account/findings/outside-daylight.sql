-- Drops before 30 minutes before sunrise or after 30 minutes after sunset. Where the drop has no position, the fire's
-- or the base's is taken. One minute of grace for rounded times.
WITH placed AS (
  SELECT d.*, coalesce(CASE WHEN d.position_trouble IS NULL THEN d.latitude END, f.latitude, b.latitude) AS at_latitude,
    coalesce(CASE WHEN d.position_trouble IS NULL THEN d.longitude END, f.longitude, b.longitude) AS at_longitude
  FROM scoped_drop d LEFT JOIN account.fire f ON f.number = d.fire AND f.season = d.fire_season
  LEFT JOIN account.base b ON b.base = d.base
  WHERE d.purpose <> 'ground-test'),
-- The sun's elements change slowly: once for each hour is good to a second.
sun AS (
  SELECT hour, account.sun_declination(century) AS declination, account.equation_of_time(century) AS equation
  FROM (SELECT hour, account.century(hour) AS century FROM (SELECT DISTINCT date_trunc('hour', dropped_at) AS hour FROM placed))),
lit AS (
  SELECT p.*, account.dark_minutes(p.dropped_at, p.at_latitude, p.at_longitude, s.declination, s.equation) AS dark_min
  FROM placed p JOIN sun s ON s.hour = date_trunc('hour', p.dropped_at)
  WHERE p.at_latitude IS NOT NULL AND p.at_longitude IS NOT NULL)
SELECT 'outside-daylight' AS finding, 'warning' AS severity, 'drop ' || "drop" AS subject, dropped_at AS happened_at,
  format('the drop at {} is {:.0f} min outside the window from 30 min before sunrise to 30 min after sunset: the clock is wrong, or it was dark',
    strftime(dropped_at, '%Y-%m-%d %H:%M UTC'), dark_min) AS message,
  ['drop:' || "drop"] AS evidence, aircraft, tank
FROM lit WHERE dark_min > 1
