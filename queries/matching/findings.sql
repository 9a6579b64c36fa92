-- Findings of matching, one row each, for the events of match_event: clocks are reported apart.
INSERT INTO ledger.finding
WITH drops AS (
  SELECT e.id, e.aircraft, c.dropped_at, c.volume_gal, c.latitude, c.longitude
  FROM match_event e JOIN ledger.drop c ON c.drop = e.id
  WHERE e.kind = 'drop' AND e.members > 1
),
told AS (
  SELECT l.event, e.id, o.witness, o.volume_gal, o.latitude, o.longitude, o.fire, l.place, l.role, f.tidy
  FROM match_link l
  JOIN match_event e ON e.event = l.event AND e.members > 1
  JOIN told_drop o ON o.obs_no = l.obs_no
  LEFT JOIN match_fire f ON f.fire = o.fire
  WHERE l.kind = 'drop'
),
volumes AS (
  SELECT d.id, d.aircraft, d.dropped_at, d.volume_gal AS taken,
    arg_max(t.volume_gal, abs(t.volume_gal - d.volume_gal)) AS other,
    string_agg(t.witness || ' ' || format('{:,d}', round(t.volume_gal)::BIGINT), ', ' ORDER BY t.place) AS said
  FROM drops d JOIN told t ON t.id = d.id AND t.role = 'event' AND t.volume_gal IS NOT NULL
  GROUP BY ALL
),
places AS (
  SELECT d.id, d.aircraft, d.dropped_at,
    max(60 * sqrt(pow(t.latitude - d.latitude, 2)
      + pow((t.longitude - d.longitude) * cos(radians((t.latitude + d.latitude) / 2)), 2))) AS apart_nm
  FROM drops d JOIN told t ON t.id = d.id AND t.role = 'event' AND t.latitude IS NOT NULL AND t.longitude IS NOT NULL
  GROUP BY ALL
),
fires AS (
  SELECT d.id, d.aircraft, d.dropped_at, count(DISTINCT t.tidy) AS texts,
    string_agg(t.witness || ' "' || t.fire || '"', ', ' ORDER BY t.place) AS said
  FROM drops d JOIN told t ON t.id = d.id AND t.fire IS NOT NULL
  GROUP BY ALL
),
found AS (
  SELECT 'volume-disagreement' AS finding, id, aircraft, dropped_at,
    format('witnesses differ on the volume by more than 10 %: {} gal', said) AS message
  FROM volumes
  WHERE abs(other - taken) > greatest(0.1 * taken, 50)
  UNION ALL
  SELECT 'position-disagreement', id, aircraft, dropped_at,
    format('witnesses place the drop {:.1f} NM apart', apart_nm)
  FROM places
  WHERE apart_nm > 5
  UNION ALL
  SELECT 'fire-disagreement', id, aircraft, dropped_at, format('witnesses name different fires: {}', said)
  FROM fires
  WHERE texts > 1
)
SELECT md5(finding || '|drop:' || id || '|' || message), finding,
  CASE finding WHEN 'fire-disagreement' THEN 'note' ELSE 'warning' END,
  'drop:' || id, dropped_at, message, ['drop:' || id], aircraft, NULL
FROM found
ORDER BY aircraft, dropped_at, finding, id;
