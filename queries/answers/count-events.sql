-- title: What a count is made of
-- grain: one row per event, or baseline, that an item's counter rests on
-- params: item, counter, part, as_of
-- columns:
--   item         serial of the tank or component
--   counter      counter
--   happened_at  when, UTC; for a baseline, when it was counted
--   day          operating day
--   part         baseline, counted or inferred
--   adds         what it adds; mounted-hours in h, all others a count
--   reached      count of the counter by then, of the parts asked for
--   is_recorded  true when a controller witnessed it (hours: controller or tracker)
--   is_assumed   true for door cycles of a drop whose doors no log names
--   tank         tank that the item was fitted to
--   position     place in the tank
--   aircraft     airframe
--   purpose      purpose of the drop; unrecorded for an inferred opening
--   fire         fire of the drop
--   volume_gal   volume of the drop or load (a load's on the scale of the tank's gauge), US gal
--   evidence     where it is on record: kind and identifier
-- note: Name an item; without a counter all of its counters are given. part is baseline, recorded, counted, inferred, assumed, since_last or total (the default): the parts that tank-cycles shows. The counter days has no events.
-- note: What the events of a part add sums to what tank-cycles shows for it on the same day.
WITH day AS (SELECT coalesce($as_of::DATE, current_date) AS as_of),
based AS (
  SELECT item, counter, value, counted_at FROM account.baseline CROSS JOIN day
  WHERE counted_at::DATE <= as_of AND item = $item AND ($counter IS NULL OR counter = $counter)
  QUALIFY row_number() OVER (PARTITION BY item, counter ORDER BY counted_at DESC) = 1),
done AS (
  SELECT a.item, t.counter, max(a.done_at) AS done_at
  FROM obs.accomplishment a JOIN obs.task t ON t.task = a.task AND t.fate = 'accepted' CROSS JOIN day
  WHERE a.fate = 'accepted' AND a.done_at::DATE <= as_of AND a.item = $item GROUP BY a.item, t.counter),
event AS (
  SELECT e.item, e.counter, e.happened_at, e.operating_day AS day, e.part, e.amount, e.is_recorded, e.is_assumed, e.tank, e.position,
    e.evidence, d.done_at IS NOT NULL AND e.happened_at > d.done_at AS is_since
  FROM account.item_event e CROSS JOIN day
  LEFT JOIN based b ON b.item = e.item AND b.counter = e.counter
  LEFT JOIN done d ON d.item = e.item AND d.counter = e.counter
  WHERE e.item = $item AND ($counter IS NULL OR e.counter = $counter) AND e.operating_day <= as_of
    AND (b.counted_at IS NULL OR e.happened_at > b.counted_at)
  UNION ALL
  SELECT b.item, b.counter, b.counted_at, b.counted_at::DATE, 'baseline', b.value, false, false, NULL, NULL,
    (SELECT 'obs:' || max(o.obs_no) FROM obs.baseline o WHERE o.fate = 'accepted' AND o.item = b.item AND o.counter = b.counter
      AND o.counted_at = b.counted_at), false
  FROM based b),
wanted AS (
  SELECT * FROM event
  WHERE CASE coalesce($part, 'total') WHEN 'total' THEN true WHEN 'recorded' THEN part = 'counted' AND is_recorded
    WHEN 'assumed' THEN is_assumed WHEN 'since_last' THEN is_since ELSE part = $part END)
SELECT w.item, w.counter, w.happened_at, w.day, w.part, w.amount AS adds,
  sum(w.amount) OVER (PARTITION BY w.counter ORDER BY w.happened_at, w.part, w.evidence ROWS UNBOUNDED PRECEDING) AS reached,
  w.is_recorded, w.is_assumed, w.tank, w.position, coalesce(d.aircraft, l.aircraft, f.aircraft) AS aircraft,
  CASE WHEN w.part = 'inferred' THEN 'unrecorded' ELSE d.purpose END AS purpose, d.fire, coalesce(d.volume_gal, l.corrected_gal) AS volume_gal,
  w.evidence
FROM wanted w
LEFT JOIN account."drop" d ON w.evidence = 'drop:' || d."drop"
LEFT JOIN account.load l ON w.evidence = 'load:' || l.load
LEFT JOIN account.flight f ON w.evidence = 'flight:' || f.flight
ORDER BY w.counter, w.happened_at, w.part, w.evidence
