-- Two flights of one aircraft that overlap by more than 3 minutes.
SELECT 'aircraft-in-two-places' AS finding, 'error' AS severity, 'flight ' || flight AS subject, off_at AS happened_at,
  format('{} took off at {} while its flight {} was in the air until {}', aircraft, strftime(off_at, '%Y-%m-%d %H:%M UTC'), earlier,
    strftime(earlier_on, '%H:%M UTC')) AS message,
  ['flight:' || flight, 'flight:' || earlier] AS evidence, aircraft, NULL::VARCHAR AS tank
FROM (SELECT *, lag(flight) OVER earlier_flight AS earlier, lag(on_at) OVER earlier_flight AS earlier_on FROM scoped_flight
  WHERE aircraft IN (FROM scope_touched)
  WINDOW earlier_flight AS (PARTITION BY aircraft ORDER BY off_at, flight))
WHERE earlier_on > off_at + INTERVAL 3 MINUTE
