-- What the registry says about who carried what, when; and the fires.
DELETE FROM account.mounting;
INSERT INTO account.mounting
WITH newest AS (
  SELECT tank, aircraft, on_at, off_at FROM obs.mounting WHERE fate = 'accepted'
  QUALIFY row_number() OVER (PARTITION BY tank, on_at ORDER BY obs_no DESC) = 1),
-- A later mounting of the tank, or on the aircraft, closes the one before it.
closed AS (
  SELECT tank, aircraft, on_at, off_at,
    lead(on_at) OVER (PARTITION BY tank ORDER BY on_at) AS next_of_tank,
    lead(on_at) OVER (PARTITION BY aircraft ORDER BY on_at, tank) AS next_on_aircraft
  FROM newest)
SELECT tank, aircraft, on_at, least(off_at, next_of_tank, next_on_aircraft) AS off_at FROM closed
WHERE on_at < coalesce(least(off_at, next_of_tank, next_on_aircraft), TIMESTAMP 'infinity')
ORDER BY tank, on_at;

DELETE FROM account.fitting;
INSERT INTO account.fitting
WITH newest AS (
  SELECT component, tank, position, on_at, off_at FROM obs.fitting WHERE fate = 'accepted'
  QUALIFY row_number() OVER (PARTITION BY component, on_at ORDER BY obs_no DESC) = 1),
kinds AS (
  SELECT serial, kind FROM obs.component WHERE fate = 'accepted'
  QUALIFY row_number() OVER (PARTITION BY serial ORDER BY obs_no DESC) = 1),
-- A place holds one component of a kind; the next one there, or elsewhere, closes the one before it.
closed AS (
  SELECT f.*, k.kind,
    lead(f.on_at) OVER (PARTITION BY f.component ORDER BY f.on_at) AS next_of_component,
    lead(f.on_at) OVER (PARTITION BY f.tank, f.position, k.kind ORDER BY f.on_at, f.component) AS next_in_place
  FROM newest f LEFT JOIN kinds k ON k.serial = f.component)
SELECT component, kind, tank, position, on_at, least(off_at, next_of_component, next_in_place) AS off_at FROM closed
WHERE on_at < coalesce(least(off_at, next_of_component, next_in_place), TIMESTAMP 'infinity')
ORDER BY component, on_at;

DELETE FROM account.fire;
INSERT INTO account.fire
WITH dated AS (
  SELECT f.*, f.started_at::DATE AS start_day, coalesce(
    (SELECT min(s.name) FROM season s WHERE f.started_at::DATE BETWEEN s.starts_on AND s.ends_on),
    year(f.started_at)::VARCHAR, 'any') AS season
  FROM obs.fire f WHERE f.fate = 'accepted'),
newest AS (
  SELECT * FROM dated
  QUALIFY row_number() OVER (PARTITION BY number, season ORDER BY obs_no DESC) = 1),
-- Aliases that people have recorded since.
said AS (
  SELECT payload ->> 'target' AS number, list(payload ->> 'alias' ORDER BY amendment_no) AS aliases FROM raw.amendment
  WHERE action = 'alias' AND (payload ->> 'kind') = 'fire' AND undone_by IS NULL GROUP BY 1)
-- Active from 1 day before its start to 3 days after its end; without an end, to the end of its season.
SELECT n.number, n.name, n.season, latitude, longitude, started_at, ended_at,
  coalesce(start_day - 1, DATE '0001-01-01'),
  coalesce(ended_at::DATE + 3, s.ends_on, make_date(year(started_at), 12, 31), DATE '9999-12-31'),
  coalesce(radius_nm, 5), list_concat(n.aliases, a.aliases)
FROM newest n LEFT JOIN season s ON s.name = n.season LEFT JOIN said a ON a.number = n.number
ORDER BY n.number, n.season;
