-- Use of every tank by day, counter and door, up to the day: the fleet's history that forecasts are drawn from.
SELECT tank, counter, coalesce(door, '') AS door, operating_day - DATE '1970-01-01' AS day, sum(amount) AS amount
FROM account.tank_count CROSS JOIN due_ask
WHERE operating_day <= as_of AND operating_day > as_of - INTERVAL 8 YEAR
  AND counter IN ('openings', 'door-cycles', 'retardant-openings', 'fills', 'mounted-hours', 'emergency-releases')
GROUP BY ALL ORDER BY tank, counter, door, day;
