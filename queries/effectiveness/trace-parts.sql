-- One row per trace: consecutive lines of one aircraft and record, until the time goes back by more than a second.
CREATE OR REPLACE TEMP TABLE trace_sample AS
WITH marked AS (
  SELECT obs_no, aircraft, record, t_s, level_gal, groundspeed_kt, height_ft, door_pct,
    coalesce(t_s + 1 < lag(t_s) OVER (PARTITION BY aircraft, record ORDER BY obs_no), true) AS is_first
  FROM obs.trace WHERE fate = 'accepted')
SELECT *, max(CASE WHEN is_first THEN obs_no END) OVER (PARTITION BY aircraft, record ORDER BY obs_no) AS trace FROM marked;

CREATE OR REPLACE TEMP TABLE trace_part AS
SELECT trace, any_value(aircraft) AS aircraft, any_value(record) AS record, max(obs_no) AS last_obs_no, count(*)::INTEGER AS samples,
  (count(*) - 1) / nullif(max(t_s) - min(t_s), 0) AS hz, favg(groundspeed_kt) AS groundspeed_kt, favg(height_ft) AS height_ft,
  min(t_s) FILTER (WHERE door_pct >= 5) AS door_open_s, min(t_s) FILTER (WHERE door_pct >= 90) AS door_full_s,
  max(door_pct) AS door_peak_pct
FROM trace_sample GROUP BY trace;
