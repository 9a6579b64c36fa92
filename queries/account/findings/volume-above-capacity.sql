-- A drop or a load of more than the tank holds.
SELECT 'volume-above-capacity' AS finding, 'error' AS severity, kind || ' ' || id AS subject, happened_at,
  format('the {} of {:,d} gal is above the capacity of {:,d} gal', kind, round(volume_gal)::BIGINT, round(capacity_gal)::BIGINT)
    AS message,
  [kind || ':' || id] AS evidence, aircraft, tank
FROM (SELECT 'drop' AS kind, "drop" AS id, aircraft, tank, dropped_at AS happened_at, volume_gal, capacity_gal FROM scoped_drop
  UNION ALL
  SELECT 'load', l.load, l.aircraft, l.tank, l.loaded_at, l.volume_gal, coalesce(t.capacity_gal, a.max_load_gal)
  FROM scoped_load l LEFT JOIN account.tank t ON t.tank = l.tank LEFT JOIN account.aircraft a ON a.aircraft = l.aircraft)
WHERE volume_gal > 1.08 * capacity_gal
