-- A reading that is not the count; the count governs.
SELECT 'reading-disagrees' AS finding, 'warning' AS severity,
  w.task || ' on ' || w.item || ' ' || strftime(w.done_at, '%Y-%m-%d %H:%M') AS subject, w.done_at AS happened_at,
  format('{} on {} was written down at {:g} {}, but {:g} were counted by then; the count governs, so look for events that are missing or counted twice',
    w.task, w.item, round(w.reading, 2)::DOUBLE, w.counter, round(c.count, 2)::DOUBLE) AS message,
  ['obs:' || w.obs_no, CASE WHEN w.item = w.tank THEN 'tank:' ELSE 'component:' END || w.item] AS evidence, w.tank
FROM work_read w JOIN due_count c ON c.item = w.item AND c.counter = w.counter AND c.happened_at = w.done_at
WHERE w.reading IS NOT NULL AND NOT c.is_before_baseline
  AND abs(w.reading - c.count) >= CASE w.counter WHEN 'mounted-hours' THEN 0.1 ELSE 1 END - 3e-5
