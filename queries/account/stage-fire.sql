-- Fire of each drop: stated, else the nearest active one by distance over radius, else none.
CREATE OR REPLACE TEMP TABLE stage_position AS
SELECT s.r, d.latitude, d.longitude, account.position_trouble(d.latitude, d.longitude, south, north, west, east) AS trouble
FROM stage_drop s JOIN told_drop d ON d.r = s.r CROSS JOIN reach
WHERE d.latitude IS NOT NULL AND d.longitude IS NOT NULL;

CREATE OR REPLACE TEMP TABLE stage_fire AS
WITH told AS (
  SELECT d.r, d.operating_day, d.is_home, s.purpose, t.fire, t.fire_season
  FROM stage_day d JOIN stage_drop s ON s.r = d.r JOIN told_drop l ON l.r = d.r
  LEFT JOIN (FROM account.fire_text WHERE operating_day >= (cut_day() - INTERVAL 2 DAY)::DATE AND operating_day < end_day()) t ON t.text = l.fire_text AND t.operating_day = d.operating_day
  WHERE d.kind = 'drop'),
close AS (
  SELECT t.r, f.number, f.season, account.distance_nm(p.latitude, p.longitude, f.latitude, f.longitude) AS distance_nm,
    f.radius_nm
  FROM told t JOIN stage_position p ON p.r = t.r AND p.trouble IS NULL
  JOIN account.fire f ON t.operating_day BETWEEN f.first_day AND f.last_day
    AND abs(p.latitude - f.latitude) <= f.radius_nm / 59
  WHERE t.fire IS NULL AND t.purpose = 'fire'),
nearest AS (
  SELECT r, number, season, distance_nm FROM close WHERE distance_nm <= radius_nm
  QUALIFY row_number() OVER (PARTITION BY r ORDER BY distance_nm / radius_nm, distance_nm, number, season) = 1)
SELECT t.r, t.operating_day, t.is_home, coalesce(t.fire, n.number) AS fire, coalesce(t.fire_season, n.season) AS fire_season,
  CASE WHEN t.fire IS NOT NULL THEN 'stated' WHEN n.number IS NOT NULL THEN 'nearest' ELSE 'unattributed' END AS fire_basis,
  coalesce(n.distance_nm, CASE WHEN p.trouble IS NULL
    THEN account.distance_nm(p.latitude, p.longitude, f.latitude, f.longitude) END) AS fire_distance_nm,
  p.trouble
FROM told t LEFT JOIN nearest n ON n.r = t.r
LEFT JOIN stage_position p ON p.r = t.r
LEFT JOIN account.fire f ON f.number = t.fire AND f.season = t.fire_season;
