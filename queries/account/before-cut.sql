-- Where each aircraft last was known to be before the account is made again.
CREATE OR REPLACE TEMP TABLE base_before AS
WITH known AS (
  SELECT aircraft, loaded_at AS known_at, base FROM account.load
  UNION ALL SELECT aircraft, offloaded_at, base FROM account.offload
  UNION ALL SELECT aircraft, off_at, from_base FROM account.flight
  UNION ALL SELECT aircraft, on_at, to_base FROM account.flight)
SELECT aircraft, known_at, max(base) AS base FROM known
WHERE base IS NOT NULL AND known_at < (FROM scope_cut) AND aircraft IN (FROM scope_aircraft)
GROUP BY aircraft, known_at
QUALIFY row_number() OVER (PARTITION BY aircraft ORDER BY known_at DESC) = 1;
