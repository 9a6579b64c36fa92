-- The operating day on which a limit that has been reached (due_passed: limit_no, item, counter, limit_at) was reached.
WITH based AS (
  SELECT item, counter, value, counted_at FROM account.baseline CROSS JOIN due_ask WHERE counted_at::DATE <= as_of
  QUALIFY row_number() OVER (PARTITION BY item, counter ORDER BY counted_at DESC) = 1),
risen AS (
  SELECT p.limit_no, p.limit_at, e.operating_day,
    coalesce(b.value, 0) + sum(e.amount) OVER (PARTITION BY p.limit_no ORDER BY e.happened_at ROWS UNBOUNDED PRECEDING) AS reached
  FROM due_passed p CROSS JOIN due_ask
  LEFT JOIN based b ON b.item = p.item AND b.counter = p.counter
  JOIN account.item_event e ON e.item = p.item AND e.counter = p.counter AND e.operating_day <= as_of
    AND (b.counted_at IS NULL OR e.happened_at > b.counted_at))
SELECT p.limit_no, coalesce(
    min(CASE WHEN b.value >= p.limit_at THEN b.counted_at::DATE END),
    min(r.operating_day) FILTER (WHERE r.reached >= r.limit_at - 3e-5)) - DATE '1970-01-01' AS day
FROM due_passed p LEFT JOIN risen r ON r.limit_no = p.limit_no
LEFT JOIN based b ON b.item = p.item AND b.counter = p.counter
GROUP BY p.limit_no ORDER BY p.limit_no;
