-- Drops before 30 minutes before sunrise or after 30 minutes after sunset. Where the drop has no position, the fire's
-- or the base's is taken. One minute of grace for rounded times.
WITH placed AS (
  SELECT d.*, coalesce(CASE WHEN d.position_trouble IS NULL THEN d.latitude END, f.latitude, b.latitude) AS at_latitude,
    coalesce(CASE WHEN d.position_trouble IS NULL THEN d.longitude END, f.longitude, b.longitude) AS at_longitude
  FROM scoped_drop d LEFT JOIN account.fire f ON f.number = d.fire AND f.season = d.fire_season
  LEFT JOIN account.base b ON b.base = d.base
  WHERE d.purpose <> 'ground-test'),
dated AS (
  SELECT *, account.century(dropped_at) AS century FROM placed WHERE at_latitude IS NOT NULL AND at_longitude IS NOT NULL),
lit AS (
  SELECT *, account.dark_minutes(dropped_at, century, at_latitude, at_longitude) AS dark_min
  FROM dated)
SELECT 'outside-daylight' AS finding, 'warning' AS severity, 'drop ' || "drop" AS subject, dropped_at AS happened_at,
  format('the drop at {} is {:.0f} min outside the window from 30 min before sunrise to 30 min after sunset: the clock is wrong, or it was dark',
    strftime(dropped_at, '%Y-%m-%d %H:%M UTC'), dark_min) AS message,
  ['drop:' || "drop"] AS evidence, aircraft, tank
FROM lit WHERE dark_min > 1
