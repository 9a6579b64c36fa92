-- One finding per drop and thing that its witnesses disagree on; match_disputed says which, this says it in words. And one for
-- what a source tells in two files, between two idle gaps of an aircraft.
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
),
twice AS (
  SELECT l.part, l.event, l.id, l.aircraft, o.kind, o.source, l.file_no
  FROM match_disputed l JOIN (
    SELECT obs_no, source, 'drop' AS kind FROM told_drop UNION ALL SELECT obs_no, source, 'flight' FROM told_flight) o
    ON o.obs_no = l.obs_no
  WHERE l.disagreements & 8 > 0
  WINDOW of_one AS (PARTITION BY l.part, l.event, o.source)
  QUALIFY min(l.file_no) OVER of_one < max(l.file_no) OVER of_one
),
again AS (
  SELECT min(t.part) AS part, min(t.event) AS event, first(e.reference ORDER BY e.happened_at, e.reference) AS reference,
    min(e.happened_at) AS happened_at, t.aircraft, 'told-twice' AS finding, 'note' AS severity,
    format('{} tells {} of {} in more than one file, and each is counted once: {}', t.source,
      CASE count(DISTINCT t.id) WHEN 1 THEN 'a ' || t.kind ELSE count(DISTINCT t.id) || ' ' || t.kind || 's' END, t.aircraft,
      coalesce(string_agg(DISTINCT regexp_extract(f.path, '[^/]*$'), ', ' ORDER BY regexp_extract(f.path, '[^/]*$')), 'files without a name')) AS message,
    list(DISTINCT e.reference ORDER BY e.reference) AS evidence
  FROM twice t JOIN (
    SELECT drop AS id, 'drop:' || drop AS reference, dropped_at AS happened_at, segment FROM ledger.drop
    UNION ALL SELECT flight, 'flight:' || flight, off_at, segment FROM ledger.flight) e ON e.id = t.id
  LEFT JOIN raw.file f ON f.file_no = t.file_no
  GROUP BY e.segment, t.aircraft, t.source, t.kind
)
SELECT md5(finding || '|' || subject || '|' || message), finding, severity, subject, happened_at, message, evidence, aircraft, NULL FROM (
  SELECT f.part, f.event, f.finding, f.severity, 'drop:' || f.id AS subject, d.dropped_at AS happened_at, f.message, ['drop:' || f.id] AS evidence,
    f.aircraft
  FROM found f JOIN ledger.drop d ON d.drop = f.id
  UNION ALL SELECT part, event, finding, severity, reference, happened_at, message, evidence, aircraft FROM again)
ORDER BY part, event, finding, message;

INSERT INTO ledger.disputed_fire
SELECT DISTINCT l.id, o.fire FROM match_disputed l JOIN told_drop o ON o.obs_no = l.obs_no
WHERE l.disagreements & 4 > 0 AND o.fire IS NOT NULL
ORDER BY ALL;
