-- title: Work list
-- grain: one row per tank visit and task on an item
-- params: tank, as_of, ahead, seed
-- needs: due
-- columns:
--   tank         tank to be opened
--   visit        number of the visit, in order of its day
--   visit_on     day of the visit: the 10 % day of its most urgent task, as_of when that has passed
--   task         task of the inspection programme
--   title        title of the task
--   item         serial of the tank or component
--   kind         tank, or kind of component
--   position     place in the tank
--   counter      counter of the limit that comes first
--   limit_at     count at which it is due
--   total        count by as_of
--   remaining    limit_at minus total
--   due_on_p10   day by which it is due in 10 % of the futures
--   due_on_p50   the same for 50 %
--   status       ok, plan, due, in-tolerance, overdue, or no-baseline
--   is_reason    true for the task that asks for the visit; the others can be done while the tank is open
--   reason       what triggered it, changed the limit, or keeps it from being computed
--   done_on      room for the day of the work
--   reading      room for the count at the work
--   signed_by    room for signature and certificate number
-- note: A planning aid: the approved inspection programme, the maintenance manual and licensed staff decide.
-- note: A visit is made on the earliest 10 % day of a tank's tasks and takes along every task whose 50 % day lies within so many days (30 unless told) after it; what is left waits for the next visit. Tasks more than a year ahead are left out.
-- note: Tasks that cannot be computed (no-baseline) stand on the first visit of their tank, so that somebody looks at them.
WITH RECURSIVE asked AS (SELECT coalesce($as_of::DATE, current_date) AS as_of, coalesce($ahead, 30)::INTEGER AS ahead),
open AS (
  SELECT d.*, CASE WHEN status = 'no-baseline' THEN a.as_of ELSE greatest(a.as_of, due_on_p10) END AS first_on,
    CASE WHEN status = 'no-baseline' THEN a.as_of ELSE greatest(a.as_of, coalesce(due_on_p50, due_on_p10)) END AS middle_on
  FROM asked.due d CROSS JOIN asked a
  WHERE (status = 'no-baseline' OR due_on_p10 IS NOT NULL) AND governs AND ($tank IS NULL OR tank = $tank) AND d.as_of = a.as_of AND seed = coalesce($seed, 1)),
near AS (SELECT o.* FROM open o CROSS JOIN asked a WHERE first_on <= a.as_of + 365),
-- The next visit of a tank is the earliest first_on of what the visits before it did not take along.
visits AS (
  SELECT tank, 1 AS visit, min(first_on) AS visit_on FROM near GROUP BY tank
  UNION ALL
  SELECT v.tank, v.visit + 1, (SELECT min(n.first_on) FROM near n CROSS JOIN asked a WHERE n.tank = v.tank
    AND n.middle_on > v.visit_on + a.ahead AND n.first_on > v.visit_on) AS visit_on
  FROM visits v WHERE v.visit_on IS NOT NULL AND v.visit < 400),
placed AS (
  SELECT n.*, v.visit, v.visit_on
  FROM near n CROSS JOIN asked a JOIN visits v ON v.tank = n.tank AND v.visit_on IS NOT NULL
    AND (n.middle_on <= v.visit_on + a.ahead OR n.first_on <= v.visit_on)
  QUALIFY row_number() OVER (PARTITION BY n.limit_no ORDER BY v.visit) = 1)
SELECT tank, visit, visit_on, task, title, item, kind, position, counter, limit_at, total, remaining, due_on_p10, due_on_p50,
  status, first_on = visit_on AS is_reason, reason, NULL::DATE AS done_on, NULL::DOUBLE AS reading, NULL::VARCHAR AS signed_by
FROM placed ORDER BY visit_on, tank, visit, is_reason DESC, due_on_p50, item, task
