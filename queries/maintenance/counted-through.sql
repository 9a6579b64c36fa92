-- Last day on which every witness that reports on a tank in that year has reported.
WITH expected AS (
  SELECT tank, year(operating_day) AS year, list(DISTINCT witness) AS witnesses FROM account.reported
  WHERE witness IN ('controller', 'crew') AND tank IS NOT NULL GROUP BY ALL),
told AS (
  SELECT tank, operating_day, list(DISTINCT witness) AS witnesses FROM account.reported CROSS JOIN due_ask
  WHERE account.reported.tank IS NOT NULL AND operating_day <= as_of GROUP BY ALL)
SELECT t.tank, max(t.operating_day) - DATE '1970-01-01' AS day
FROM told t LEFT JOIN expected e ON e.tank = t.tank AND e.year = year(t.operating_day)
WHERE list_has_all(t.witnesses, coalesce(e.witnesses, [])) GROUP BY t.tank ORDER BY t.tank;
