-- Written fires that resolve to none that was active.
SELECT 'unknown-fire' AS finding, 'warning' AS severity, 'fire ' || t.text || ' ' || t.season AS subject, min(a.dropped_at) AS happened_at,
  format('"{}" is no fire of that day ({} drops){}', t.text, count(*),
    CASE WHEN any_value(t.how) = 'ambiguous' THEN '; it may be ' || arg_min(t.suggestion, a.dropped_at)
      WHEN count(t.suggestion) > 0 THEN '; did they mean ' || arg_min(t.suggestion, a.dropped_at) || '?'
      ELSE '; add it, or an alias' END) AS message,
  list('drop:' || a."drop" ORDER BY a.dropped_at, a."drop") AS evidence, NULL::VARCHAR AS aircraft, NULL::VARCHAR AS tank
FROM account.fire_text t JOIN account."drop" a ON a.operating_day = t.operating_day
JOIN ledger."drop" l ON l."drop" = a."drop" AND l.fire_text = t.text
WHERE t.fire IS NULL GROUP BY t.text, t.season
