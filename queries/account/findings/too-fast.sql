-- Two positions of one aircraft that it cannot have flown between, the worst of each day. Drops' times may be rounded
-- to 5 minutes; a tracker's are good to seconds. Positions more than a day apart tell nothing. What the tracker's clock
-- is off by its flights is taken out of its points.
WITH off_clock AS (
  SELECT aircraft, witness, started_at - INTERVAL 1 HOUR AS clock_from, ended_at + INTERVAL 1 HOUR AS clock_to, offset_min
  FROM ledger.clock WHERE offset_min <> 0 AND started_at >= cut_midnight() - INTERVAL 3 DAY AND started_at < end_midnight() + INTERVAL 3 DAY),
-- By itself: what a join knows of the names on its other side would be asked of every row of the table before its aircraft.
placed AS MATERIALIZED (
  SELECT "drop", latitude, longitude FROM ledger."drop"
  WHERE latitude IS NOT NULL AND longitude IS NOT NULL AND is_touched(aircraft)
    AND dropped_at >= cut_midnight() - INTERVAL 1 DAY AND dropped_at < end_midnight()),
point AS (
  SELECT p.aircraft, seen_at - to_seconds(coalesce(CASE WHEN seen_at <= clock_to THEN offset_min END, 0) * 60) AS seen_at, latitude,
    longitude, 5 AS slack_s, 'obs:' || obs_no AS evidence
  FROM obs.position p ASOF LEFT JOIN off_clock c ON c.aircraft = p.aircraft AND c.witness = p.witness AND p.seen_at >= c.clock_from
  WHERE fate = 'accepted' AND is_touched(p.aircraft) AND seen_at >= cut_midnight() - INTERVAL 1 DAY AND seen_at < end_midnight() AND NOT (abs(latitude) < 0.01 AND abs(longitude) < 0.01)
  UNION ALL
  SELECT a.aircraft, a.dropped_at, l.latitude, l.longitude, 300, 'drop:' || a."drop"
  FROM account."drop" a JOIN placed l ON l."drop" = a."drop"
  WHERE a.position_trouble IS NULL AND is_touched(a.aircraft)
    AND a.dropped_at >= cut_midnight() - INTERVAL 1 DAY AND a.dropped_at < end_midnight()),
step AS (
  SELECT p.*, lag(seen_at) OVER point_before AS from_at, lag(latitude) OVER point_before AS from_latitude,
    lag(longitude) OVER point_before AS from_longitude, lag(slack_s) OVER point_before AS from_slack_s,
    lag(evidence) OVER point_before AS from_evidence, a.max_speed_kt
  FROM point p JOIN account.aircraft a ON a.aircraft = p.aircraft AND a.max_speed_kt > 0
  WINDOW point_before AS (PARTITION BY p.aircraft ORDER BY p.seen_at, p.evidence)),
leg AS (
  SELECT *, account.distance_nm(from_latitude, from_longitude, latitude, longitude) AS leg_nm,
    (epoch_ms(seen_at) - epoch_ms(from_at)) / 1000 + slack_s + from_slack_s AS leg_s
  FROM step WHERE seen_at >= cut_midnight() AND seen_at <= from_at + INTERVAL 1 DAY)
SELECT 'too-fast' AS finding, 'warning' AS severity, aircraft || ' ' || seen_at::DATE AS subject, seen_at AS happened_at,
  format('{} would have covered {:.0f} NM in {:.0f} min, at least {:.0f} kt; it can fly {:.0f} kt', aircraft, leg_nm, leg_s / 60,
    leg_nm / leg_s * 3600, max_speed_kt) AS message,
  [from_evidence, evidence] AS evidence, aircraft, NULL::VARCHAR AS tank
FROM leg WHERE leg_nm > 2 AND leg_nm / leg_s * 3600 > 1.1 * max_speed_kt
QUALIFY row_number() OVER (PARTITION BY aircraft, seen_at::DATE ORDER BY leg_nm / leg_s DESC, seen_at) = 1
