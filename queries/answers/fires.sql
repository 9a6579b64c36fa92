-- title: Fires
-- grain: one row per fire on record
-- params: season, fire
-- columns:
--   fire        fire number
--   name        fire name
--   season      season in which it began
--   latitude    degrees north
--   longitude   degrees east
--   started_at  when it began, UTC
--   ended_at    when it ended, UTC
--   radius_nm   radius within which a drop is near it, NM
SELECT number AS fire, name, season, latitude, longitude, started_at, ended_at, radius_nm
FROM account.fire
WHERE ($season IS NULL OR season = $season OR year(started_at)::VARCHAR = $season) AND ($fire IS NULL OR number = $fire)
ORDER BY fire, season
