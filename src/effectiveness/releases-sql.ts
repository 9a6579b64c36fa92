/** Feet per second of one knot: 1852 m an hour, a foot of 0.3048 m. */
const ftPerSecondOfKnot = 1852 / 3600 / 0.3048

/**
 * Figures of traces as people ask for them. With bend c the flow at share s of the time is mean · (1 + c · (1 − 2s)): its peak is at one
 * end, and over the middle 60 % it goes from 1 + 0.6 c to 1 − 0.6 c.
 */
export const releaseSql = `
CREATE OR REPLACE VIEW effectiveness.release AS
  SELECT t.trace, t.aircraft, t.record, t.last_obs_no, m."drop", m.matched_by, t.status, t.samples, t.hz,
    coalesce(t.groundspeed_kt, d.groundspeed_kt) AS groundspeed_kt, coalesce(t.height_ft, d.height_ft) AS height_ft, t.starts_s,
    t.ends_s, t.ends_s - t.starts_s AS evacuation_s, t.evacuation_se_s, t.level_before_gal, t.volume_gal AS trace_gal,
    t.volume_se_gal, t.noise_gal, t.is_cut, t.bend, t.bend_se, t.door_open_s, t.door_full_s, t.door_peak_pct,
    t.volume_gal / (t.ends_s - t.starts_s) AS mean_flow_gal_s,
    t.volume_gal / (t.ends_s - t.starts_s) * (1 + abs(t.bend)) AS peak_flow_gal_s,
    100 * (1 - 0.6 * abs(t.bend)) / (1 + 0.6 * abs(t.bend)) AS constancy_pct,
    coalesce(t.groundspeed_kt, d.groundspeed_kt) * ${ftPerSecondOfKnot} * (t.ends_s - t.starts_s) AS track_ft,
    t.volume_gal / nullif(coalesce(t.groundspeed_kt, d.groundspeed_kt) * ${ftPerSecondOfKnot} * (t.ends_s - t.starts_s), 0)
      AS gallons_per_ft
  FROM effectiveness.trace t LEFT JOIN effectiveness.trace_drop m ON m.trace = t.trace LEFT JOIN ledger."drop" d ON d."drop" = m."drop";

CREATE OR REPLACE MACRO effectiveness.run_of(of_tank, moment) AS CASE WHEN of_tank IS NOT NULL THEN 1 + (
  SELECT count(DISTINCT adjusted_at) FROM obs.adjustment a
  WHERE a.fate = 'accepted' AND a.tank = of_tank AND a.adjusted_at <= moment)::INTEGER END;
`
