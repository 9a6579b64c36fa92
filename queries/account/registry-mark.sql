-- Tells the registry, as far as mountings, fittings and fires are read from it, from any other.
SELECT concat_ws(' ', count(*), bit_xor(h), sum(h::HUGEINT)) AS mark FROM (
  SELECT hash('mounting', obs_no, tank, aircraft, on_at, off_at) AS h FROM obs.mounting WHERE fate = 'accepted'
  UNION ALL SELECT hash('fitting', obs_no, component, tank, position, on_at, off_at) FROM obs.fitting WHERE fate = 'accepted'
  UNION ALL SELECT hash('component', obs_no, serial, kind) FROM obs.component WHERE fate = 'accepted'
  UNION ALL SELECT hash('season', obs_no, name, starts_on, ends_on) FROM obs.season WHERE fate = 'accepted'
  UNION ALL SELECT hash('fire', f) FROM obs.fire f WHERE fate = 'accepted'
  UNION ALL SELECT hash('alias', amendment_no, payload) FROM raw.amendment WHERE action = 'alias' AND undone_by IS NULL)
