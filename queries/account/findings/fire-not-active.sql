-- The fire that was named had not begun, or was over.
SELECT 'fire-not-active' AS finding, 'warning' AS severity, 'drop ' || d."drop" AS subject, d.dropped_at AS happened_at,
  format('the drop is written down for fire {}, which was not active on {} (on record from {} to {})', d.fire, d.operating_day,
    coalesce(f.started_at::DATE::VARCHAR, 'an unknown day'), coalesce(f.ended_at::DATE::VARCHAR, 'the end of its season')) AS message,
  ['drop:' || d."drop", 'fire:' || d.fire] AS evidence, d.aircraft, d.tank
FROM scoped_drop d JOIN account.fire f ON f.number = d.fire AND f.season = d.fire_season
WHERE d.fire_basis = 'stated' AND d.operating_day NOT BETWEEN f.first_day AND f.last_day
