-- Days on which a position is possible now and was not, or the other way: a fire far out widens the box that all lie in.
INSERT INTO fire_day
SELECT a.aircraft, a.dropped_at::DATE
FROM account."drop" a JOIN ledger."drop" l ON l."drop" = a."drop" CROSS JOIN reach
WHERE l.latitude IS NOT NULL AND l.longitude IS NOT NULL
  AND a.position_trouble IS DISTINCT FROM account.position_trouble(l.latitude, l.longitude, south, north, west, east);
