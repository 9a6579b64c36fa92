-- Loads that both the base's meter and the tank's gauge saw: of the staged tanks, and of all others as they stand.
CREATE OR REPLACE TEMP TABLE meter_pair AS
WITH placed AS (
  SELECT l.rowid AS r, a.base, a.tank FROM account.load a JOIN ledger.load l ON l.load = a.load
  WHERE a.aircraft NOT IN (FROM scope_touched) AND (a.tank IS NULL OR a.tank NOT IN (SELECT tank FROM scope_tank))
  UNION ALL
  SELECT r, base, tank FROM stage_load
  WHERE aircraft IN (FROM scope_touched) OR tank IN (SELECT tank FROM scope_tank))
SELECT p.base, p.tank, ln(l.meter_gal / l.gauge_gal) AS log_ratio
FROM placed p JOIN ledger.load l ON l.rowid = p.r
WHERE p.base IS NOT NULL AND p.tank IS NOT NULL AND l.meter_gal > 0 AND l.gauge_gal > 0;
