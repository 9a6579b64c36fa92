-- title: Bases
-- grain: one row per base on record
-- params: base
-- columns:
--   base       code
--   name       name
--   zone       IANA zone
--   latitude   degrees north
--   longitude  degrees east
SELECT base, name, zone, latitude, longitude
FROM account.base
WHERE $base IS NULL OR base = $base
ORDER BY base
