-- title: Productivity of bases
-- grain: one row per base
-- params: season, from, to, aircraft, tank, base
-- needs: productivity
-- columns:
--   base                     base code
--   name                     base name
--   turnarounds              turnarounds from the base to a fire and back to it
--   gallons_per_hour         US gal delivered per hour of work, holding left out
--   distance_nm              median distance from the base to the drops, nautical miles
--   gallons_per_turnaround   mean US gal delivered by a turnaround
--   fill_min                 median fill, min
--   out_min                  median from wheels off to the first drop, min
--   scene_min                median from the first to the last drop, min
--   back_min                 median from the last drop to wheels on, min
--   hold_min                 median of loaded and waiting, min; in no rate here
--   curve_gallons_per_hour   what the base's own times imply at the median distance, US gal per hour
--   nearer_gallons_per_hour  the same from a base 10 nautical miles nearer
--   faster_gallons_per_hour  the same with a fill 5 min shorter (or gone, where it takes less)
--   nearer_gain              what 10 nautical miles would give, US gal per hour
--   faster_gain              what 5 min would give, US gal per hour
--   fixed_min                minutes of a turnaround that do not depend on distance
--   speed_kt                 speed that the legs imply, kt
--   speed_low_kt             low end of its 95 % interval, kt
--   speed_high_kt            high end of its 95 % interval, kt
--   fitted                   turnarounds with distance and both legs, which the curve rests on; under 10 there is no curve
-- note: Time out and back is a straight line in distance by Theil and Sen, which wild times do not move; the rest of a turnaround is its
--   median. Medians of parts need not add up.
-- note: The curve says what this base's times imply with this fleet and load; winds, queues and terrain of another place are not in it.
SELECT p.base, b.name, p.turnarounds, p.gallons_per_hour, p.distance_nm, p.gallons_per_turnaround, p.fill_min, p.out_min, p.scene_min,
  p.back_min, p.hold_min, p.curve_gallons_per_hour, p.nearer_gallons_per_hour, p.faster_gallons_per_hour,
  p.nearer_gallons_per_hour - p.curve_gallons_per_hour AS nearer_gain,
  p.faster_gallons_per_hour - p.curve_gallons_per_hour AS faster_gain, p.fixed_min, p.speed_kt, p.speed_low_kt, p.speed_high_kt, p.fitted
FROM asked.base_productivity p LEFT JOIN account.base b ON b.base = p.base
-- The preparation has chosen the rows already.
WHERE ($season || $from || $to || $aircraft || $tank || $base) IS NULL OR true
ORDER BY p.turnarounds DESC, p.base
