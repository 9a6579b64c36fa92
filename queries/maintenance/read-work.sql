-- Work done, oldest first, with the count at that moment.
SELECT w.limit_no, epoch_ms(w.done_at) AS done_ms, w.done_at::DATE - DATE '1970-01-01' AS done_day, w.reading,
  CASE WHEN c.is_before_baseline THEN NULL ELSE c.count END AS count
FROM due_work w JOIN due_limit l USING (limit_no)
LEFT JOIN due_count c ON c.item = l.item AND c.counter = l.counter AND c.happened_at = w.done_at
ORDER BY w.limit_no, w.done_at;
