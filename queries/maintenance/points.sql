-- Moments at which a count is needed: now (infinity), at each piece of work, and at each event that asks for a task.
CREATE OR REPLACE TEMP TABLE due_point AS
SELECT DISTINCT item, counter, happened_at, known_at FROM (
  SELECT l.item, l.counter, TIMESTAMP 'infinity' AS happened_at, (as_of + 1)::TIMESTAMP - INTERVAL 1 MICROSECOND AS known_at
  FROM due_limit l CROSS JOIN due_ask WHERE is_counted
  UNION ALL SELECT l.item, l.counter, w.done_at, w.done_at FROM due_work w JOIN due_limit l USING (limit_no) WHERE is_counted
  UNION ALL SELECT l.item, l.counter, t.happened_at, t.happened_at FROM due_trigger t JOIN due_limit l USING (limit_no)
  WHERE is_counted)
WHERE counter <> 'days';
