-- title: Life of a tank
-- grain: one row per mounting, fitting, accomplishment, adjustment, emergency release, overfill, baseline or extension
-- params: tank, from, to
-- columns:
--   tank      tank serial number
--   what      mounting, fitting, work, adjustment, emergency-release, overfill, baseline or extension
--   item      serial of the tank or component
--   kind      tank, or kind of component
--   position  place in the tank
--   aircraft  airframe, where one is meant
--   from_at   when it began or happened, UTC
--   to_at     when it ended; null while it lasts, and for what happens at one moment
--   openings  openings of the tank in that time; for a moment, by then
--   detail    what else is known
--   evidence  where it is on record: kind and identifier
-- note: The counts in it are those of the records and of the balance, without what a baseline brings; tank-cycles has the totals.
-- note: A planning aid: the approved inspection programme, the maintenance manual and licensed staff decide.
WITH wanted AS (SELECT tank FROM account.tank WHERE $tank IS NULL OR tank = $tank),
place AS (
  SELECT f.component AS item, f.kind, f.tank, f.position, f.on_at, f.off_at FROM account.fitting f JOIN wanted USING (tank)),
life AS (
  SELECT m.tank, 'mounting' AS what, m.tank AS item, 'tank' AS kind, NULL::VARCHAR AS position, m.aircraft, m.on_at AS from_at,
    m.off_at AS to_at, NULL::VARCHAR AS detail, 'tank:' || m.tank AS evidence
  FROM account.mounting m JOIN wanted USING (tank)
  UNION ALL
  SELECT p.tank, 'fitting', p.item, p.kind, p.position, NULL, p.on_at, p.off_at, NULL, 'component:' || p.item FROM place p
  UNION ALL
  SELECT coalesce(w.tank, p.tank), 'work', a.item, coalesce(p.kind, 'tank'), p.position, NULL, a.done_at, NULL,
    concat_ws('; ', concat_ws(' ', a.task, t.title), 'reading ' || a.reading, a.note), 'obs:' || a.obs_no
  FROM obs.accomplishment a
  LEFT JOIN wanted w ON w.tank = a.item
  LEFT JOIN (SELECT task, any_value(title) AS title FROM obs.task WHERE fate = 'accepted' GROUP BY task) t ON t.task = a.task
  -- Work on a part belongs to the tank that it sat in, or was fitted to next.
  LEFT JOIN place p ON p.item = a.item AND (p.off_at IS NULL OR a.done_at < p.off_at)
  WHERE a.fate = 'accepted' AND (w.tank IS NOT NULL OR p.tank IS NOT NULL)
  QUALIFY row_number() OVER (PARTITION BY a.obs_no ORDER BY p.on_at) = 1
  UNION ALL
  SELECT j.tank, 'adjustment', j.tank, 'tank', j.subject, NULL, j.adjusted_at, NULL,
    concat_ws('; ', CASE WHEN j.before IS NOT NULL OR j.after IS NOT NULL
      THEN coalesce(j.before, 'unknown') || ' to ' || coalesce(j.after, 'unknown') END, j.note), 'obs:' || j.obs_no
  FROM obs.adjustment j JOIN wanted USING (tank) WHERE j.fate = 'accepted'
  UNION ALL
  SELECT d.tank, 'emergency-release', d.tank, 'tank', NULL, d.aircraft, d.dropped_at, NULL,
    round(d.volume_gal)::INTEGER || ' gal', 'drop:' || d."drop"
  FROM account."drop" d JOIN wanted USING (tank) WHERE d.is_emergency_release
  UNION ALL
  SELECT l.tank, 'overfill', l.tank, 'tank', NULL, l.aircraft, l.loaded_at, NULL, NULL, 'load:' || l.load
  FROM account.load l JOIN wanted USING (tank) WHERE l.is_overfill
  UNION ALL
  SELECT coalesce(w.tank, p.tank), 'baseline', b.item, coalesce(p.kind, 'tank'), p.position, NULL, b.counted_at, NULL,
    b.counter || ' ' || round(b.value, 2), 'obs:' || b.obs_no
  FROM obs.baseline b LEFT JOIN wanted w ON w.tank = b.item
  LEFT JOIN place p ON p.item = b.item AND (p.off_at IS NULL OR b.counted_at < p.off_at)
  WHERE b.fate = 'accepted' AND (w.tank IS NOT NULL OR p.tank IS NOT NULL)
  QUALIFY row_number() OVER (PARTITION BY b.obs_no ORDER BY p.on_at) = 1
  UNION ALL
  SELECT coalesce(w.tank, p.tank), 'extension', x.item, coalesce(p.kind, 'tank'), p.position, NULL, x.expires_on::TIMESTAMP, NULL,
    x.task || ' ' || x.counter || ' to ' || round(x."limit", 2) || ' by ' || x.authority
      || coalesce(' until ' || x.expires_on, ''), 'obs:' || x.obs_no
  FROM obs.extension x LEFT JOIN wanted w ON w.tank = x.item
  LEFT JOIN place p ON p.item = x.item AND p.off_at IS NULL
  WHERE x.fate = 'accepted' AND (w.tank IS NOT NULL OR p.tank IS NOT NULL)
  QUALIFY row_number() OVER (PARTITION BY x.obs_no ORDER BY p.on_at DESC) = 1),
course AS (
  SELECT tank, happened_at, sum(sum(openings)) OVER (PARTITION BY tank ORDER BY happened_at) AS reached
  FROM account.opening GROUP BY tank, happened_at)
SELECT l.tank, l.what, l.item, l.kind, l.position, l.aircraft, l.from_at, l.to_at,
  (CASE WHEN l.what IN ('mounting', 'fitting') THEN coalesce(b.reached, 0) - coalesce(a.reached, 0) ELSE coalesce(n.reached, 0) END)::DOUBLE
    AS openings,
  l.detail, l.evidence
FROM life l
ASOF LEFT JOIN course a ON a.tank = l.tank AND coalesce(l.from_at, TIMESTAMP '-infinity') > a.happened_at
ASOF LEFT JOIN course n ON n.tank = l.tank AND coalesce(l.from_at, TIMESTAMP '-infinity') >= n.happened_at
ASOF LEFT JOIN course b ON b.tank = l.tank AND coalesce(l.to_at, TIMESTAMP 'infinity') > b.happened_at
WHERE ($from IS NULL OR coalesce(l.to_at, CASE WHEN l.what IN ('mounting', 'fitting') THEN TIMESTAMP 'infinity' ELSE l.from_at END) >= $from::DATE)
  AND ($to IS NULL OR l.from_at < $to::DATE + 1)
ORDER BY l.tank, l.from_at, l.what, l.position, l.item
