-- title: Tank cycles
-- grain: one row per item (tank or component) and counter
-- params: tank, as_of
-- columns:
--   item             serial of the tank or component
--   kind             tank, or kind of component
--   tank             tank it is fitted to; null when removed
--   position         place in the tank; null when removed
--   counter          counter; mounted-hours in h, days in days, all others a count
--   baseline         count carried in from before the records begin
--   recorded         of the counted, those that a controller witnessed (hours: controller or tracker)
--   counted          all canonical events, whoever witnessed them
--   inferred         openings that the balance asks for and nobody wrote down
--   total            baseline + counted + inferred: what due dates use
--   counted_through  last day on which all expected witnesses reported
--   since_last       count since the last accomplishment of a task with this counter; null without one
--   assumed          of the counted door cycles, those whose doors no log names
-- note: A planning aid: the approved inspection programme, the maintenance manual and licensed staff decide.
-- note: as_of DAY includes every event whose operating day is DAY or earlier; the default is today.
WITH day AS (SELECT coalesce($as_of::DATE, current_date) AS as_of),
place AS (
  SELECT item, kind, max(tank) FILTER (WHERE is_in) AS tank, max(position) FILTER (WHERE is_in) AS position,
    bool_or(position LIKE 'door-%') AS is_at_door, bool_or($tank IS NULL OR tank = $tank) AS is_wanted
  FROM (SELECT i.*, kind = 'tank' OR (on_at::DATE <= as_of AND (off_at IS NULL OR off_at::DATE > as_of)) AS is_in
    FROM account.item i CROSS JOIN day)
  GROUP BY item, kind),
wanted AS (
  SELECT p.item, p.kind, p.tank, p.position, c.counter
  FROM place p CROSS JOIN (SELECT unnest(['openings', 'door-cycles', 'retardant-openings', 'fills', 'emergency-releases',
    'mountings', 'mounted-hours', 'days']) AS counter) c
  WHERE p.is_wanted AND (c.counter <> 'door-cycles' OR p.is_at_door)),
based AS (
  SELECT item, counter, value, counted_at FROM account.baseline CROSS JOIN day WHERE counted_at::DATE <= as_of
  QUALIFY row_number() OVER (PARTITION BY item, counter ORDER BY counted_at DESC) = 1),
done AS (
  SELECT a.item, t.counter, max(a.done_at) AS done_at
  FROM obs.accomplishment a JOIN obs.task t ON t.task = a.task AND t.fate = 'accepted' CROSS JOIN day
  WHERE a.fate = 'accepted' AND a.done_at::DATE <= as_of GROUP BY a.item, t.counter),
counts AS (
  SELECT e.item, e.counter, sum(e.amount::DECIMAL(38,15)) FILTER (WHERE e.part = 'counted')::DOUBLE AS counted,
    sum(e.amount::DECIMAL(38,15)) FILTER (WHERE e.part = 'counted' AND e.is_recorded)::DOUBLE AS recorded,
    sum(e.amount::DECIMAL(38,15)) FILTER (WHERE e.part = 'inferred')::DOUBLE AS inferred,
    sum(e.amount::DECIMAL(38,15)) FILTER (WHERE e.is_assumed)::DOUBLE AS assumed,
    sum(e.amount::DECIMAL(38,15)) FILTER (WHERE d.done_at IS NOT NULL AND e.happened_at > d.done_at)::DOUBLE AS since_last
  FROM account.item_event e CROSS JOIN day
  LEFT JOIN based b ON b.item = e.item AND b.counter = e.counter
  LEFT JOIN done d ON d.item = e.item AND d.counter = e.counter
  WHERE e.operating_day <= as_of AND (b.counted_at IS NULL OR e.happened_at > b.counted_at)
  GROUP BY e.item, e.counter),
days AS (
  SELECT i.item, sum(greatest(0, least(coalesce(i.off_at::DATE, as_of), as_of)
    - greatest(i.on_at::DATE, coalesce(b.counted_at::DATE, i.on_at::DATE)))) AS days
  FROM (SELECT item, on_at, off_at FROM account.fitting_item UNION ALL
    SELECT tank, min(on_at), NULL FROM account.mounting GROUP BY tank) i CROSS JOIN day
  LEFT JOIN based b ON b.item = i.item AND b.counter = 'days' GROUP BY i.item),
through AS (
  SELECT tank, max(operating_day) AS counted_through FROM account.fully_reported CROSS JOIN day WHERE operating_day <= as_of GROUP BY tank)
SELECT w.item, w.kind, w.tank, w.position, w.counter, coalesce(b.value, 0) AS baseline, coalesce(c.recorded, 0) AS recorded,
  CASE WHEN w.counter = 'days' THEN coalesce(y.days, 0) ELSE coalesce(c.counted, 0) END AS counted,
  coalesce(c.inferred, 0) AS inferred,
  coalesce(b.value, 0) + CASE WHEN w.counter = 'days' THEN coalesce(y.days, 0) ELSE coalesce(c.counted, 0) END
    + coalesce(c.inferred, 0) AS total,
  h.counted_through, CASE WHEN d.done_at IS NULL THEN NULL WHEN w.counter = 'days' THEN as_of - d.done_at::DATE
    ELSE coalesce(c.since_last, 0) END AS since_last,
  coalesce(c.assumed, 0) AS assumed
FROM wanted w CROSS JOIN day
LEFT JOIN based b ON b.item = w.item AND b.counter = w.counter
LEFT JOIN counts c ON c.item = w.item AND c.counter = w.counter
LEFT JOIN days y ON y.item = w.item
LEFT JOIN done d ON d.item = w.item AND d.counter = w.counter
LEFT JOIN through h ON h.tank = w.tank
ORDER BY w.kind <> 'tank', w.tank, w.position, w.kind, w.item, w.counter
