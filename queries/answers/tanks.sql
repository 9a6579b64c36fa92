-- title: Tanks
-- grain: one row per tank on record
-- params: tank
-- columns:
--   tank          serial
--   capacity_gal  capacity, US gal
--   doors         number of doors
--   flow          constant or gravity
SELECT tank, capacity_gal, doors, flow FROM account.tank WHERE $tank IS NULL OR tank = $tank ORDER BY tank
