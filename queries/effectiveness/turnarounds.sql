-- One row per turnaround that came back to the base it began at: its parts, what it delivered, and how far the drops were.
WITH delivered AS (
  SELECT load, sum(volume_gal::DECIMAL(38,9))::DOUBLE AS gallons, favg(latitude ORDER BY latitude) FILTER (WHERE position_trouble IS NULL) AS latitude,
    favg(longitude ORDER BY longitude) FILTER (WHERE position_trouble IS NULL) AS longitude
  FROM answers."drop" WHERE purpose = 'fire' AND load IS NOT NULL GROUP BY load)
SELECT l.turnaround_base AS base, l.turnaround_min, l.hold_min, l.fill_min, l.out_min, l.scene_min, l.back_min, d.gallons,
  account.distance_nm(b.latitude, b.longitude, d.latitude, d.longitude) AS distance_nm
FROM answers.loads_in($season, $from, $to, $aircraft, $tank, NULL, NULL) l
JOIN delivered d ON d.load = l.previous_load LEFT JOIN account.base b ON b.base = l.turnaround_base
WHERE l.turnaround_min IS NOT NULL AND l.base = l.turnaround_base AND d.gallons > 0
  AND ($base IS NULL OR l.turnaround_base = $base)
ORDER BY l.turnaround_base, l.loaded_at, l.load
