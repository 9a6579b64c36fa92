-- A task that applies to nothing on record, most likely by a misspelling: nothing would ever fall due.
WITH named AS (
  SELECT regexp_replace(lower(kind), '[^a-z0-9]', '', 'g') AS name FROM obs.component WHERE fate = 'accepted'
  UNION SELECT regexp_replace(lower(part_number), '[^a-z0-9]', '', 'g') FROM obs.component WHERE fate = 'accepted'
  UNION SELECT regexp_replace(lower(part_number), '[^a-z0-9]', '', 'g') FROM account.tank
  UNION SELECT 'tank' FROM account.tank)
SELECT 'task-without-item' AS finding, 'warning' AS severity, 'task ' || t.task || ' ' || t.applies_to AS subject,
  NULL::TIMESTAMP AS happened_at,
  format('task {} applies to "{}", but no tank, component kind or part number on record is called that: it never falls due; correct applies_to or add the components',
    t.task, t.applies_to) AS message,
  list('obs:' || t.obs_no ORDER BY t.obs_no) AS evidence, NULL::VARCHAR AS tank
FROM obs.task t
WHERE t.fate = 'accepted' AND regexp_replace(lower(t.applies_to), '[^a-z0-9]', '', 'g') NOT IN (FROM named WHERE name IS NOT NULL)
GROUP BY t.task, t.applies_to
