-- A zone that is no zone: the contract's days are then operating days.
SELECT 'contract-zone-unknown' AS finding, 'warning' AS severity, 'contract ' || number AS subject, NULL::TIMESTAMP AS happened_at,
  format('"{}" is no IANA time zone; the days of contract {} are taken as operating days', zone, number) AS message,
  ['obs:' || obs_no] AS evidence, NULL::VARCHAR AS aircraft
FROM obs.contract WHERE fate = 'accepted' AND zone IS NOT NULL AND zone NOT IN (SELECT name FROM pg_timezone_names())
QUALIFY row_number() OVER (PARTITION BY number ORDER BY obs_no DESC) = 1
ORDER BY number
