-- A trace that no drop on record fits.
SELECT 'trace-without-drop' AS finding, 'note' AS severity,
  'trace ' || aircraft || ' ' || record || ' at ' || trace AS subject, NULL::TIMESTAMP AS happened_at,
  format('the release trace of record {} of {} ({} samples) fits no drop on record, or two about as well; ingest the controller download that holds it',
    record, aircraft, samples) AS message,
  ['obs:' || trace] AS evidence, aircraft, NULL::VARCHAR AS tank
FROM effectiveness.release WHERE "drop" IS NULL AND is_told_aircraft(aircraft)
