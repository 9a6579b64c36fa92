-- Days on which an aircraft's drops may belong to another fire, or stand otherwise to the same one, since fires changed:
-- drops whose written name leads elsewhere now, drops of a changed fire, and drops of no written fire within its reach.
CREATE OR REPLACE TEMP TABLE fire_day AS
SELECT a.aircraft, a.dropped_at::DATE AS day
FROM account."drop" a JOIN ledger."drop" l ON l."drop" = a."drop"
JOIN moved_text m ON m.text = l.fire_text AND m.operating_day = a.operating_day
WHERE a.operating_day IN (SELECT operating_day FROM moved_text)
UNION
SELECT a.aircraft, a.dropped_at::DATE FROM account."drop" a JOIN changed_fire f ON f.number = a.fire AND f.season = a.fire_season
UNION
SELECT a.aircraft, a.dropped_at::DATE
FROM (
  SELECT l."drop", f.first_day, f.last_day FROM ledger."drop" l JOIN changed_fire f ON abs(l.latitude - f.latitude) <= f.radius_nm / 59
    AND account.distance_nm(l.latitude, l.longitude, f.latitude, f.longitude) <= f.radius_nm) n
JOIN account."drop" a ON a."drop" = n."drop" AND a.operating_day BETWEEN n.first_day AND n.last_day
WHERE a.fire_basis <> 'stated' AND a.purpose = 'fire';
