-- title: Volume by purpose
-- grain: one row per purpose that occurred
-- params: season, from, to, aircraft, tank, base, fire, fluid
-- columns:
--   purpose               fire, jettison, emergency, training or ground-test
--   drops                 drops
--   gallons               US gal released
--   assumed               drops of which no log names the purpose
--   drops_without_volume  drops whose volume nobody knows; they add no gallons
SELECT purpose, count(*)::INTEGER AS drops, coalesce(sum(volume_gal::DECIMAL(38,9))::DOUBLE, 0) AS gallons,
  (count(*) FILTER (WHERE is_purpose_assumed))::INTEGER AS assumed,
  (count(*) FILTER (WHERE volume_gal IS NULL))::INTEGER AS drops_without_volume
FROM answers.counted_in($season, $from, $to, $aircraft, $tank, $base, $fire, $fluid)
GROUP BY purpose
ORDER BY list_position(['fire', 'jettison', 'emergency', 'training', 'ground-test'], purpose)
