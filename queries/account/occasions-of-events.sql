-- Of findings of events that few events give cause for: whether any in scope may. Those that are not named here always may.
SELECT d.is_bare OR l.is_bare AS "no-mounting", d.is_far AS "fire-far-from-drop", d.is_part AS "fractions-above-one",
  d.is_loose AS "drop-on-ground", d.is_misplaced AS "position-trouble", d.is_odd AS "coverage-out-of-range", l.is_overfill AS "overfill"
FROM (
  SELECT coalesce(bool_or(tank IS NULL), false) AS is_bare, coalesce(bool_or(fire_distance_nm > 30), false) AS is_far,
    coalesce(bool_or(fraction > 0), false) AS is_part, coalesce(bool_or(flight IS NULL OR groundspeed_kt < 30), false) AS is_loose,
    coalesce(bool_or(position_trouble IS NOT NULL), false) AS is_misplaced,
    coalesce(bool_or(coverage_level < 0.1 OR coverage_level > 20), false) AS is_odd
  FROM scoped_drop) d,
  (SELECT coalesce(bool_or(tank IS NULL), false) AS is_bare, coalesce(bool_or(is_overfill), false) AS is_overfill FROM scoped_load) l
