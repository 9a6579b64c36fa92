-- Last day on which every witness that reports on a tank in that year has reported.
WITH told AS MATERIALIZED (
  SELECT DISTINCT tank, operating_day, witness FROM (
    SELECT tank, operating_day, unnest(witnesses) AS witness FROM (
      SELECT DISTINCT a.tank, a.operating_day, l.witnesses FROM account."drop" a JOIN ledger."drop" l ON l."drop" = a."drop" WHERE a.tank IS NOT NULL
      UNION ALL
      SELECT DISTINCT a.tank, a.operating_day, l.witnesses FROM account.load a JOIN ledger.load l ON l.load = a.load WHERE a.tank IS NOT NULL
      UNION ALL
      SELECT DISTINCT a.tank, a.operating_day, l.witnesses FROM account.flight a JOIN ledger.flight l ON l.flight = a.flight
      WHERE a.tank IS NOT NULL))),
expected AS (
  SELECT tank, year(operating_day) AS year, count(DISTINCT witness) AS witnesses FROM told
  WHERE witness IN ('controller', 'crew') GROUP BY ALL),
-- A day's controller and crew are among those expected in its year.
by_day AS (
  SELECT tank, operating_day, count(*) FILTER (witness IN ('controller', 'crew')) AS witnesses
  FROM told CROSS JOIN due_ask WHERE operating_day <= as_of GROUP BY ALL)
SELECT t.tank, max(t.operating_day) - DATE '1970-01-01' AS day
FROM by_day t LEFT JOIN expected e ON e.tank = t.tank AND e.year = year(t.operating_day)
WHERE t.witnesses >= coalesce(e.witnesses, 0) GROUP BY t.tank ORDER BY t.tank;
