-- The fire that was named is farther than 30 NM from where the drop was.
SELECT 'fire-far-from-drop' AS finding, 'warning' AS severity, 'drop ' || "drop" AS subject, dropped_at AS happened_at,
  format('the drop is written down for fire {}, which is {:.0f} NM away', fire, fire_distance_nm) AS message,
  ['drop:' || "drop", 'fire:' || fire] AS evidence, aircraft, tank
FROM scoped_drop WHERE fire_basis = 'stated' AND fire_distance_nm > 30
