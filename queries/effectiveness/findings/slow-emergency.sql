-- A whole load let go in an emergency is out in about 3 s (common practice, no source); half a second is allowed for.
SELECT 'slow-emergency' AS finding, 'warning' AS severity, 'drop ' || d."drop" AS subject, d.dropped_at AS happened_at,
  format('the emergency release took {:.1f} s; about 3 s is common practice', t.evacuation_s) AS message,
  ['drop:' || d."drop", 'obs:' || t.trace, 'tank:' || d.tank] AS evidence, d.aircraft, d.tank
FROM effectiveness.release t JOIN account."drop" d ON d."drop" = t."drop"
WHERE is_told_tank(d.tank) AND d.is_emergency_release AND t.status = 'read' AND t.evacuation_s - 2 * t.evacuation_se_s > 3.5
