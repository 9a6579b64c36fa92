-- Every trace of the aircraft that are looked at with every drop of its aircraft and record, the likeliest first.
WITH candidate AS (
  SELECT d."drop", d.aircraft, d.record, d.dropped_at, a.operating_day, a.volume_gal,
    count(*) OVER (PARTITION BY d.aircraft, d.record) AS candidates
  FROM ledger."drop" d JOIN account."drop" a ON a."drop" = d."drop"
  WHERE d.record IS NOT NULL AND d.is_recorded AND is_told_aircraft(d.aircraft)),
named AS (
  SELECT t.trace, t.aircraft, t.record, t.volume_gal,
    try_strptime(regexp_replace(nullif(regexp_extract(parse_filename(f.path), '20\d\d[-_]?[01]\d[-_]?[0-3]\d'), ''), '[-_]', '', 'g'),
      '%Y%m%d')::DATE AS file_day
  FROM effectiveness.trace t LEFT JOIN raw.file f ON f.file_no = t.trace >> 32
  WHERE is_told_aircraft(t.aircraft))
SELECT n.trace, c."drop", c.candidates,
  coalesce(abs(n.volume_gal - c.volume_gal) / greatest(c.volume_gal, 50), 1)
    + CASE WHEN n.file_day IS NULL THEN 0 WHEN c.operating_day > n.file_day + 1 THEN 1
      ELSE least(0.5, 0.02 * abs(n.file_day - c.operating_day)) END AS cost
FROM named n JOIN candidate c ON c.aircraft = n.aircraft AND c.record = n.record
ORDER BY n.trace, cost, c."drop"
