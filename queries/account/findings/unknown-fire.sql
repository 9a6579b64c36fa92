-- Written fires that resolve to none that was active. Where no fire is on record that is every drop: the first 500 are listed.
WITH lost AS (SELECT * FROM account.lost_text WHERE is_told_text('fire ' || text || ' ' || season)),
named AS (
  SELECT "drop", fire_text FROM ledger."drop"
  WHERE dropped_at >= lost_from() - INTERVAL 2 DAY AND dropped_at < lost_to() + INTERVAL 3 DAY AND fire_text IN (SELECT text FROM lost)),
-- An operating day is never two days from the moment in UTC.
dropped AS (SELECT "drop", dropped_at, operating_day FROM account."drop" WHERE operating_day BETWEEN lost_from() AND lost_to())
SELECT 'unknown-fire' AS finding, 'warning' AS severity, 'fire ' || t.text || ' ' || t.season AS subject, min(a.dropped_at) AS happened_at,
  format('"{}" is no fire of that day ({} drops{}){}', t.text, count(*), CASE WHEN count(*) > 500 THEN ', the first 500 listed' ELSE '' END,
    CASE WHEN any_value(t.how) = 'ambiguous' THEN '; it may be ' || arg_min(t.suggestion, a.dropped_at)
      WHEN count(t.suggestion) > 0 THEN '; did they mean ' || arg_min(t.suggestion, a.dropped_at) || '?'
      ELSE '; add it, or an alias' END) AS message,
  arg_min('drop:' || a."drop", (a.dropped_at, a."drop"), 500) AS evidence, NULL::VARCHAR AS aircraft, NULL::VARCHAR AS tank
FROM named l JOIN dropped a ON a."drop" = l."drop"
JOIN lost t ON t.text = l.fire_text AND t.operating_day = a.operating_day
GROUP BY t.text, t.season
