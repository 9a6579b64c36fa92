-- The median moves with every drop: what the cycles before and after lack, of whose load no release is on record, is that many openings now.
CREATE OR REPLACE TEMP TABLE recounted AS
SELECT c.rowid AS r, greatest(1, coalesce(round(c.missing_gal / h.typical_gal), 1))::INTEGER AS openings
FROM account.cycle c JOIN holder h ON h.tank = c.tank
WHERE is_near_tank(c.tank) AND (c.opened_at < cut_at() OR c.opened_at >= end_at()) AND c.missing_gal > 0 AND c.part_gal IS NULL
  AND c.inferred_openings <> greatest(1, coalesce(round(c.missing_gal / h.typical_gal), 1));
UPDATE account.cycle SET inferred_openings = n.openings FROM recounted n WHERE n.r = account.cycle.rowid;
