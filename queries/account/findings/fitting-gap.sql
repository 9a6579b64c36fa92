-- Openings while a place that has held a component of a kind held none.
WITH gap AS (
  SELECT tank, position, kind, component, off_at, lead(on_at) OVER (PARTITION BY tank, position, kind ORDER BY on_at) AS next_on,
    lead(component) OVER (PARTITION BY tank, position, kind ORDER BY on_at) AS next_component
  FROM account.fitting)
SELECT 'fitting-gap' AS finding, 'warning' AS severity,
  'tank ' || g.tank || ' ' || g.position || ' ' || g.kind || ' ' || strftime(g.off_at, '%Y-%m-%d %H:%M') AS subject, g.off_at AS happened_at,
  format('tank {} opened {} times between the removal of {} from {} on {} and the fitting of {} on {}: no {} counted them', g.tank,
    sum(o.openings), g.component, g.position, strftime(g.off_at, '%Y-%m-%d'), g.next_component, strftime(g.next_on, '%Y-%m-%d'), g.kind)
    AS message,
  ['tank:' || g.tank, 'component:' || g.component, 'component:' || g.next_component] AS evidence,
  NULL::VARCHAR AS aircraft, NULL::VARCHAR AS tank
FROM gap g JOIN account.opening o ON o.tank = g.tank AND o.happened_at >= g.off_at AND o.happened_at < g.next_on
WHERE g.off_at < g.next_on
GROUP BY g.tank, g.position, g.kind, g.component, g.off_at, g.next_on, g.next_component
