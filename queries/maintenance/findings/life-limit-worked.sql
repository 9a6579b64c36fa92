-- Work written down against a life limit, which never resets.
SELECT 'life-limit-worked' AS finding, 'note' AS severity,
  w.task || ' on ' || w.item || ' ' || strftime(w.done_at, '%Y-%m-%d %H:%M') AS subject, w.done_at AS happened_at,
  format('{} is a life limit and never resets, but work on {} is on record; a replaced part has a serial of its own', w.task, w.item)
    AS message,
  ['obs:' || w.obs_no, CASE WHEN w.item = w.tank THEN 'tank:' ELSE 'component:' END || w.item] AS evidence, w.tank
FROM work_read w WHERE w.is_life_limit
