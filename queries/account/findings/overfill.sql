SELECT 'overfill' AS finding, 'warning' AS severity, 'load ' || load AS subject, loaded_at AS happened_at,
  CASE WHEN lower(overflow::VARCHAR) IN ('yes', 'true') THEN format('the load of {:,d} gal is marked as overflowed', round(volume_gal)::BIGINT)
    WHEN gauge_after_gal IS NOT NULL THEN format('the gauge stood at {:,d} gal after the load, above the capacity', round(gauge_after_gal)::BIGINT)
    ELSE format('{:,d} gal on top of what was left do not fit into the tank', round(corrected_gal)::BIGINT) END AS message,
  ['load:' || load] AS evidence, aircraft, tank
FROM scoped_load WHERE is_overfill
