-- Every sample of a trace, by aircraft and record in the order of its lines.
WITH key AS (
  SELECT aircraft, record, row_number() OVER (ORDER BY min(obs_no)) AS key_no
  FROM obs.trace WHERE fate = 'accepted' GROUP BY aircraft, record)
SELECT k.key_no::DOUBLE AS key_no, t.obs_no::DOUBLE AS obs_no, t.t_s, t.level_gal, t.groundspeed_kt, t.height_ft, t.door_pct
FROM obs.trace t JOIN key k ON k.aircraft = t.aircraft AND k.record = t.record
WHERE t.fate = 'accepted' ORDER BY k.key_no, t.obs_no
