-- A component in two places, or two components of a kind in one place, by what is written down.
WITH fitted AS (
  SELECT f.*, c.kind FROM obs.fitting f LEFT JOIN (SELECT serial, max(kind) AS kind FROM obs.component WHERE fate = 'accepted'
    GROUP BY serial) c ON c.serial = f.component WHERE f.fate = 'accepted')
SELECT 'fitting-overlap' AS finding, 'warning' AS severity,
  'component ' || a.component || ' ' || strftime(a.on_at, '%Y-%m-%d') || ' and ' || b.component || ' ' || strftime(b.on_at, '%Y-%m-%d')
    AS subject, b.on_at AS happened_at,
  format('{} is on record at {} of tank {} until {}, and {} at {} of tank {} from {}; the later fitting counts', a.component, a.position,
    a.tank, strftime(a.off_at, '%Y-%m-%d'), b.component, b.position, b.tank, strftime(b.on_at, '%Y-%m-%d')) AS message,
  ['component:' || a.component, 'component:' || b.component] AS evidence, NULL::VARCHAR AS aircraft, NULL::VARCHAR AS tank
FROM fitted a JOIN fitted b ON b.obs_no <> a.obs_no AND b.on_at >= a.on_at AND b.on_at < a.off_at
  AND (b.on_at > a.on_at OR b.obs_no > a.obs_no)
  AND (a.component = b.component OR a.tank = b.tank AND a.position = b.position AND a.kind = b.kind)
