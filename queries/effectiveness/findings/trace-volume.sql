-- Trace and record of one drop disagree on its volume by more than 5 % and more than the noise of the trace explains.
SELECT 'trace-volume' AS finding, 'warning' AS severity, 'drop ' || d."drop" AS subject, d.dropped_at AS happened_at,
  format('the trace shows {:,d} gal leaving the tank, the record says {:,d} gal', round(t.trace_gal)::BIGINT, round(d.volume_gal)::BIGINT)
    AS message,
  ['drop:' || d."drop", 'obs:' || t.trace] AS evidence, d.aircraft, d.tank
FROM effectiveness.release t JOIN account."drop" d ON d."drop" = t."drop"
WHERE is_told_tank(d.tank) AND t.status = 'read' AND NOT t.is_cut AND abs(t.trace_gal - d.volume_gal) > greatest(0.05 * d.volume_gal, 4 * t.volume_se_gal)
