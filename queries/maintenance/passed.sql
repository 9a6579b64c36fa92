-- The operating day on which a limit that has been reached (due_passed: limit_no, item, counter, limit_at) was reached.
WITH based AS (
  SELECT item, counter, value, counted_at FROM account.baseline CROSS JOIN due_ask WHERE counted_at::DATE <= as_of
  QUALIFY row_number() OVER (PARTITION BY item, counter ORDER BY counted_at DESC) = 1),
risen AS (
  -- An item's course is summed once, however many limits it has passed.
  SELECT e.item, e.counter, e.operating_day,
    coalesce(b.value, 0) + sum(e.amount) OVER (PARTITION BY e.item, e.counter ORDER BY e.happened_at ROWS UNBOUNDED PRECEDING) AS reached
  FROM account.item_event e CROSS JOIN due_ask
  LEFT JOIN based b ON b.item = e.item AND b.counter = e.counter
  WHERE (e.item, e.counter) IN (SELECT (item, counter) FROM due_passed) AND e.operating_day <= as_of
    AND (b.counted_at IS NULL OR e.happened_at > b.counted_at)),
step AS (SELECT item, counter, reached, min(operating_day) AS operating_day FROM risen GROUP BY ALL)
SELECT p.limit_no,
  coalesce(CASE WHEN b.value >= p.limit_at THEN b.counted_at::DATE END, s.operating_day) - DATE '1970-01-01' AS day
FROM due_passed p
LEFT JOIN based b ON b.item = p.item AND b.counter = p.counter
ASOF LEFT JOIN step s ON s.item = p.item AND s.counter = p.counter AND p.limit_at - 3e-5 <= s.reached
ORDER BY p.limit_no;
