-- title: Gallons per hour against distance
-- grain: one row per base and band of 10 nautical miles
-- params: season, from, to, aircraft, tank, base
-- needs: productivity
-- columns:
--   base                       base code
--   distance_nm                middle of the band, nautical miles
--   gallons_per_hour           what the base's own times imply, US gal per hour; blank where they are too few
--   faster_gallons_per_hour    the same with a fill 5 min shorter
--   turnarounds                turnarounds in the band
--   observed_gallons_per_hour  what they delivered, US gal per hour of work
--   name                       base name
-- note: Holding is left out. Time out and back is a straight line in distance by Theil and Sen.
SELECT p.base, p.distance_nm, p.gallons_per_hour, p.faster_gallons_per_hour, p.turnarounds, p.observed_gallons_per_hour, b.name
FROM asked.productivity_curve p LEFT JOIN account.base b ON b.base = p.base
-- The preparation has chosen the rows already.
WHERE ($season || $from || $to || $aircraft || $tank || $base) IS NULL OR true
ORDER BY p.base, p.distance_nm
