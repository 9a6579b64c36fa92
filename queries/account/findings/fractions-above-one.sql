-- The shares of one load add up to more than the load.
WITH too_much AS (
  SELECT load FROM scoped_drop WHERE load IS NOT NULL AND fraction > 0 AND purpose <> 'ground-test'
  GROUP BY load HAVING sum(fraction::DECIMAL(38,15))::DOUBLE > 1.02)
SELECT 'fractions-above-one' AS finding, 'warning' AS severity, 'load ' || load AS subject, min(dropped_at) AS happened_at,
  format('the {} drops of one load add up to {:.0f} % of it: a load is missing, or a drop is there twice', count(*),
    100 * sum(fraction::DECIMAL(38,15))::DOUBLE) AS message,
  list_concat(['load:' || load], list('drop:' || "drop" ORDER BY dropped_at, "drop")) AS evidence, aircraft, tank
FROM scoped_drop SEMI JOIN too_much USING (load) WHERE fraction > 0 AND purpose <> 'ground-test'
GROUP BY load, aircraft, tank
