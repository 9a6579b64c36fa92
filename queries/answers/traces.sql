-- title: Release traces
-- grain: one row per release trace of a controller
-- params: season, from, to, aircraft, tank, base, fire, fluid
-- columns:
--   drop                 drop that the trace belongs to; blank where none fits
--   dropped_at           when, UTC
--   aircraft             registration
--   tank                 tank serial number
--   record               the controller's number of the drop
--   coverage_level       coverage level set, US gal per 100 sq ft
--   fraction             share of a full load asked for
--   evacuation_s         from start to end of flow, s
--   evacuation_se_s      its standard error, s
--   mean_flow_gal_s      volume by evacuation time, US gal/s
--   peak_flow_gal_s      highest flow of the fitted curve, US gal/s
--   constancy_pct        lowest by highest fitted flow over the middle 60 % of the time, %
--   trace_gal            volume by the trace, US gal
--   logged_gal           volume on record, US gal
--   difference_pct       trace against record, %
--   gallons_per_ft       US gal laid per foot of track: mean flow by ground speed
--   coverage_laid        with the tank's pattern width, US gal per 100 sq ft; all that was released, none lost to drift
--   pattern_width_ft     stated width of the tank's pattern, ft
--   track_ft             track flown while fluid flowed, ft
--   groundspeed_kt       ground speed, kt
--   height_ft            height above ground, ft
--   starts_s             start of flow, s of the record
--   ends_s               end of flow, s of the record
--   door_open_s          doors first open by 5 %, s of the record
--   door_full_s          doors first open by 90 %, s of the record
--   door_peak_pct        widest opening, %
--   noise_gal            spread of the samples about the fitted curve, US gal
--   samples              samples
--   hz                   samples per second
--   is_cut               the record begins or ends within the flow
--   run                  1 from the begin of records, one more with each adjustment of the tank
--   matched_by           how the drop was found
--   status               read, or no release
--   trace                number of the trace
-- note: Start and end of flow come from a curve of three joined parts (level, fall, level) fitted so that wild samples count little.
-- note: On short releases few samples lie in the fall; their flow is as uncertain as evacuation_se_s says.
-- note: coverage_laid is an estimate over the stated width and the track flown, an upper bound on what reached the ground.
SELECT d."drop", d.dropped_at, t.aircraft, d.tank, t.record, d.coverage_level, d.fraction, t.evacuation_s, t.evacuation_se_s,
  t.mean_flow_gal_s, t.peak_flow_gal_s, t.constancy_pct, t.trace_gal, d.volume_gal AS logged_gal,
  100 * (t.trace_gal - d.volume_gal) / nullif(d.volume_gal, 0) AS difference_pct, t.gallons_per_ft,
  100 * t.gallons_per_ft / k.pattern_width_ft AS coverage_laid, k.pattern_width_ft, t.track_ft, t.groundspeed_kt, t.height_ft,
  t.starts_s, t.ends_s, t.door_open_s, t.door_full_s, t.door_peak_pct, t.noise_gal, t.samples, t.hz, t.is_cut,
  effectiveness.run_of(d.tank, d.dropped_at) AS run, t.matched_by, t.status, t.trace
FROM effectiveness.release t LEFT JOIN answers."drop" d ON d."drop" = t."drop" LEFT JOIN account.tank k ON k.tank = d.tank
WHERE ($season IS NULL OR d.season = $season OR year(d.operating_day)::VARCHAR = $season)
  AND ($from IS NULL OR d.operating_day >= $from::DATE) AND ($to IS NULL OR d.operating_day <= $to::DATE)
  AND ($aircraft IS NULL OR t.aircraft = $aircraft) AND ($tank IS NULL OR d.tank = $tank)
  AND ($base IS NULL OR coalesce(d.base, 'unknown') = $base) AND ($fire IS NULL OR coalesce(d.fire, 'unattributed') = $fire)
  AND ($fluid IS NULL OR d.fluid = $fluid)
ORDER BY d.dropped_at, t.trace
