-- Observations of the four event kinds, one row each, by aircraft, source and time; lines of one minute as they stand in their file.
-- The reader fills in WHICH are asked for, what each SAYS, the BASE whose clock it is, and the ORDER among those that are equal in all this.
WITH told AS (
  SELECT 0 AS kind, obs_no, aircraft, source, dropped_at AS start_at, dropped_at AS end_at, volume_gal, fraction,
    latitude, longitude, fire, purpose, record, ident, '' AS base, SAYS_drop AS says
  FROM told_drop
  UNION ALL
  SELECT 1, obs_no, aircraft, source, loaded_at, loaded_at,
    CASE WHEN witness = 'controller' THEN coalesce(volume_gal, gauge_after_gal - gauge_before_gal) ELSE volume_gal END,
    NULL, NULL, NULL, NULL, NULL, coalesce(ticket, record), ident, BASE, SAYS_load
  FROM told_load
  UNION ALL
  SELECT 2, obs_no, aircraft, source, off_at, greatest(off_at, on_at), NULL, NULL, NULL, NULL, NULL, NULL, record,
    ident, '', SAYS_flight
  FROM told_flight
  UNION ALL
  SELECT 3, obs_no, aircraft, source, offloaded_at, offloaded_at, volume_gal, NULL, NULL, NULL, NULL, NULL, record,
    ident, BASE, SAYS_offload
  FROM told_offload
)
SELECT a.number AS aircraft, s.number AS source, t.kind, epoch_us(t.start_at) / 1e6 AS start,
  epoch_us(t.end_at) / 1e6 AS finish, t.volume_gal AS volume, t.fraction, t.latitude, t.longitude,
  f.number AS fire, list_position(PURPOSES, t.purpose) - 1 AS purpose,
  t.says, t.obs_no::DOUBLE AS obs_no
FROM told t
JOIN match_aircraft a ON a.aircraft = t.aircraft
JOIN match_source s ON s.source = t.source AND s.base = t.base
LEFT JOIN match_fire f ON f.fire = t.fire
WHICH
ORDER BY a.number, s.number, t.start_at, t.kind, t.obs_no % 4294967296 ORDER;
