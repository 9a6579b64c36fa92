-- The operating day on which a limit that has been reached (due_passed: limit_no, item, counter, limit_at) was reached;
-- before before_day where that is known.
WITH based AS (
  SELECT item, counter, value, counted_at FROM account.baseline CROSS JOIN due_ask WHERE counted_at::DATE <= as_of
  QUALIFY row_number() OVER (PARTITION BY item, counter ORDER BY counted_at DESC) = 1),
place AS (
  SELECT i.item, p.counter, p.before_day, i.tank, i.position, i.on_at, i.off_at
  FROM (SELECT item, counter, max(coalesce(before_day, DATE '9999-12-31')) AS before_day FROM due_passed GROUP BY ALL) p JOIN account.item i ON i.item = p.item),
event AS (
  SELECT p.item, p.counter, c.happened_at, c.operating_day, c.amount
  FROM (
    SELECT * FROM account.tank_count CROSS JOIN due_ask
    WHERE operating_day <= as_of AND counter IN (SELECT counter FROM place) AND tank IN (SELECT tank FROM place)
      AND operating_day < (SELECT max(before_day) FROM place)) c
  JOIN place p ON p.tank = c.tank AND p.counter = c.counter AND c.operating_day < p.before_day AND (c.door IS NULL OR c.door = p.position)
    AND (p.on_at IS NULL OR c.happened_at >= p.on_at) AND (p.off_at IS NULL OR c.happened_at < p.off_at)),
used AS (
  SELECT e.item, e.counter, e.operating_day, sum(e.amount::DECIMAL(38,15))::DOUBLE AS amount
  FROM event e LEFT JOIN based b ON b.item = e.item AND b.counter = e.counter
  WHERE b.counted_at IS NULL OR e.happened_at > b.counted_at GROUP BY ALL),
step AS (
  SELECT u.item, u.counter, u.operating_day, coalesce(b.value, 0)
    + sum(u.amount) OVER (PARTITION BY u.item, u.counter ORDER BY u.operating_day ROWS UNBOUNDED PRECEDING) AS reached
  FROM used u LEFT JOIN based b ON b.item = u.item AND b.counter = u.counter),
first AS (
  SELECT p.limit_no, min(s.operating_day) AS operating_day
  FROM due_passed p JOIN step s ON s.item = p.item AND s.counter = p.counter AND s.reached >= p.limit_at - 3e-5
  GROUP BY p.limit_no)
SELECT p.limit_no,
  coalesce(CASE WHEN b.value >= p.limit_at THEN b.counted_at::DATE END, f.operating_day) - DATE '1970-01-01' AS day
FROM due_passed p
LEFT JOIN based b ON b.item = p.item AND b.counter = p.counter
LEFT JOIN first f ON f.limit_no = p.limit_no
ORDER BY p.limit_no;
