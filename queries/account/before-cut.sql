-- Where each aircraft last was known to be before the account is made again, as far as it was since `known_since()`.
CREATE OR REPLACE TEMP TABLE base_before AS
WITH known AS (
  SELECT aircraft, loaded_at AS known_at, base FROM account.load WHERE is_near_aircraft(aircraft)
  UNION ALL SELECT aircraft, offloaded_at, base FROM account.offload WHERE is_near_aircraft(aircraft)
  UNION ALL SELECT aircraft, off_at, from_base FROM account.flight WHERE is_near_aircraft(aircraft)
  UNION ALL SELECT aircraft, on_at, to_base FROM account.flight WHERE is_near_aircraft(aircraft)),
earlier AS (SELECT * FROM known WHERE base IS NOT NULL AND known_at < cut_at() AND known_at >= known_since()),
latest AS (SELECT aircraft, max(known_at) AS known_at FROM earlier GROUP BY aircraft)
SELECT e.aircraft, e.known_at, max(e.base) AS base
FROM earlier e JOIN latest l ON l.aircraft = e.aircraft AND l.known_at = e.known_at GROUP BY e.aircraft, e.known_at;
