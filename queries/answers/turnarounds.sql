-- title: Turnarounds
-- grain: one row per base
-- params: season, from, to, aircraft, tank, base
-- columns:
--   base         base of the load that the turnaround began with, as for drops, or unknown
--   turnarounds  loads with an earlier load of the same aircraft on the same day
--   median_min   median, load to load, min
--   p90_min      90th percentile, min
--   fill_min     median of the fill (from its start, else from landing, to filled), min
--   out_min      median from wheels off to the first drop, min
--   scene_min    median from the first to the last drop, min
--   back_min     median from the last drop to wheels on, min
--   hold_min     median of loaded and waiting, min
--   name         base name
-- note: Medians of parts need not add up to the median of the whole.
SELECT l.turnaround_base AS base, count(*)::INTEGER AS turnarounds, median(turnaround_min) AS median_min,
  quantile_cont(turnaround_min, 0.9) AS p90_min, median(fill_min) AS fill_min, median(out_min) AS out_min,
  median(scene_min) AS scene_min, median(back_min) AS back_min, median(hold_min) AS hold_min, any_value(b.name) AS name
FROM answers.loads_in($season, $from, $to, $aircraft, $tank, NULL, NULL) l LEFT JOIN account.base b ON b.base = l.turnaround_base
WHERE turnaround_min IS NOT NULL AND ($base IS NULL OR turnaround_base = $base)
GROUP BY 1 ORDER BY turnarounds DESC, base
