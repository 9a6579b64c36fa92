-- Written bases that the registry does not know.
SELECT 'unknown-base' AS finding, 'warning' AS severity, 'base ' || n.text AS subject, min(l.loaded_at) AS happened_at,
  format('"{}" is no base on record ({} loads){}', n.text, count(l.load),
    CASE WHEN any_value(n.suggestion) IS NULL THEN '; add it, or an alias' ELSE '; did they mean ' || any_value(n.suggestion) || '?' END)
    AS message,
  list('load:' || l.load ORDER BY l.loaded_at, l.load) FILTER (WHERE l.load IS NOT NULL) AS evidence,
  NULL::VARCHAR AS aircraft, NULL::VARCHAR AS tank
FROM account.base_name n LEFT JOIN ledger.load l ON l.base_text = n.text
WHERE n.base IS NULL GROUP BY n.text
