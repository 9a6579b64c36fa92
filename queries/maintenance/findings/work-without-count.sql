-- The newest work on an item, done before its baseline and without a reading: its next limit cannot be computed.
SELECT 'work-without-count' AS finding, 'warning' AS severity,
  w.task || ' on ' || w.item || ' ' || strftime(w.done_at, '%Y-%m-%d %H:%M') AS subject, w.done_at AS happened_at,
  format('{} on {} was done before the baseline of {} and no reading says at what count: its next limit cannot be computed; add the reading',
    w.task, w.item, w.counter) AS message,
  ['obs:' || w.obs_no, CASE WHEN w.item = w.tank THEN 'tank:' ELSE 'component:' END || w.item] AS evidence, w.tank
FROM (SELECT * FROM work_read QUALIFY row_number() OVER (PARTITION BY task, item ORDER BY done_at DESC) = 1) w
JOIN due_count c ON c.item = w.item AND c.counter = w.counter AND c.happened_at = w.done_at
WHERE w.reading IS NULL AND c.is_before_baseline AND NOT coalesce(w.is_life_limit, false)
