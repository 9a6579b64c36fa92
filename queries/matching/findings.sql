-- One finding per drop and thing that its witnesses disagree on; match_disputed says which, this says it in words.
INSERT INTO ledger.finding
WITH told AS (
  SELECT l.part, l.event, l.id, l.aircraft, l.disagreements, l.place, l.role, o.witness, o.volume_gal, o.latitude,
    o.longitude, o.fire
  FROM match_disputed l JOIN told_drop o ON o.obs_no = l.obs_no
),
apart AS (
  SELECT one.id, max(60 * sqrt(pow(one.latitude - other.latitude, 2)
    + pow((one.longitude - other.longitude) * cos(radians((one.latitude + other.latitude) / 2)), 2))) AS nm
  FROM told one JOIN told other ON other.id = one.id AND other.place > one.place
  WHERE one.disagreements & 2 > 0
  GROUP BY one.id
),
said AS (
  SELECT part, event, id, aircraft, disagreements,
    string_agg(witness || ' ' || format('{:,d}', round(volume_gal)::BIGINT), ', ' ORDER BY place)
      FILTER (role <> 'summary' AND volume_gal IS NOT NULL) AS volumes,
    string_agg(witness || ' "' || fire || '"', ', ' ORDER BY place) FILTER (fire IS NOT NULL) AS fires
  FROM told GROUP BY ALL
),
found AS (
  SELECT part, event, id, aircraft, 'volume-disagreement' AS finding, 'warning' AS severity,
    format('witnesses differ on the volume by more than 10 %: {} gal', volumes) AS message
  FROM said WHERE disagreements & 1 > 0
  UNION ALL
  SELECT part, event, id, aircraft, 'position-disagreement', 'warning',
    format('witnesses place the drop {:.1f} NM apart', nm)
  FROM said JOIN apart USING (id)
  UNION ALL
  SELECT part, event, id, aircraft, 'fire-disagreement', 'note',
    format('witnesses name different fires: {}', fires)
  FROM said WHERE disagreements & 4 > 0
)
SELECT md5(finding || '|drop:' || id || '|' || message), finding, severity, 'drop:' || id, d.dropped_at, message,
  ['drop:' || id], f.aircraft, NULL
FROM found f JOIN ledger.drop d ON d.drop = f.id
ORDER BY part, event, finding;

INSERT INTO ledger.disputed_fire
SELECT DISTINCT l.id, o.fire FROM match_disputed l JOIN told_drop o ON o.obs_no = l.obs_no
WHERE l.disagreements & 4 > 0 AND o.fire IS NOT NULL
ORDER BY ALL;
