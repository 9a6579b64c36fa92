-- One row per limit, with the count now, and what the calendar starts from.
WITH based AS (
  SELECT item, counted_at::DATE - value::INTEGER AS zero_on FROM account.baseline CROSS JOIN due_ask
  WHERE counter = 'days' AND counted_at::DATE <= as_of
  QUALIFY row_number() OVER (PARTITION BY item ORDER BY counted_at DESC) = 1),
read_off AS (
  SELECT item, counter, max(counted_at)::DATE AS read_on FROM account.baseline CROSS JOIN due_ask
  WHERE counted_at::DATE <= as_of GROUP BY item, counter)
SELECT l.* EXCLUDE (first_on, fitted_on, expires_on), coalesce(b.zero_on, l.first_on) - DATE '1970-01-01' AS zero_day,
  greatest(l.fitted_on, o.read_on) - DATE '1970-01-01' AS since_day,
  l.expires_on - DATE '1970-01-01' AS expires_day, c.count AS total, c.is_before_baseline,
  t.operating_day - DATE '1970-01-01' AS trigger_day, t.evidence AS trigger_evidence, t.events AS trigger_events,
  tc.count AS trigger_count, coalesce(tc.is_before_baseline, false) AS is_trigger_before_baseline
FROM due_limit l
LEFT JOIN based b ON b.item = l.item
LEFT JOIN read_off o ON o.item = l.item AND o.counter = l.counter
LEFT JOIN due_count c ON c.item = l.item AND c.counter = l.counter AND c.happened_at = TIMESTAMP 'infinity'
LEFT JOIN due_trigger t ON t.limit_no = l.limit_no
LEFT JOIN due_count tc ON tc.item = l.item AND tc.counter = l.counter AND tc.happened_at = t.happened_at
ORDER BY l.limit_no;
