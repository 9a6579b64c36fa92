SELECT 'coverage-out-of-range' AS finding, 'warning' AS severity, 'drop ' || "drop" AS subject, dropped_at AS happened_at,
  format('coverage level {} is outside 0.1 to 20', coverage_level) AS message, ['drop:' || "drop"] AS evidence, aircraft, tank
FROM scoped_drop WHERE coverage_level < 0.1 OR coverage_level > 20
