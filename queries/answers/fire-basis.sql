-- title: How the fire of each drop is known
-- grain: one row per basis: stated, nearest, unattributed
-- params: season, from, to, aircraft, tank, base, fire, fluid
-- columns:
--   basis    stated, nearest or unattributed
--   drops    fire drops
--   gallons  US gal delivered
WITH dropped AS (
  SELECT fire_basis, volume_gal FROM answers.counted_in($season, $from, $to, $aircraft, $tank, $base, $fire, $fluid)
  WHERE purpose = 'fire')
SELECT basis, count(dropped.fire_basis)::INTEGER AS drops, coalesce(sum(volume_gal::DECIMAL(38,9))::DOUBLE, 0) AS gallons
FROM (VALUES ('stated', 1), ('nearest', 2), ('unattributed', 3)) AS bases(basis, place)
LEFT JOIN dropped ON dropped.fire_basis = basis
GROUP BY basis, place
ORDER BY place
