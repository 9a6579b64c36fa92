-- title: Arrivals
-- grain: one row per file
-- params: from, to
-- columns:
--   path         path of the file
--   sha256       SHA-256 of its bytes
--   profile      profile it was read with; null when it was not recognised
--   arrived_at   when it arrived, UTC
--   read         rows read
--   accepted     rows that count
--   duplicate    rows that were there already
--   superseded   rows that a later arrival replaced
--   quarantined  rows that could not be read
--   problem      why it was not recognised
-- note: For every file, read = accepted + duplicate + superseded + quarantined. From and to are days of arrival, UTC.
SELECT path, sha256, profile, arrived_at, read, accepted, duplicate, superseded, quarantined, problem
FROM raw.file
WHERE ($from IS NULL OR arrived_at::DATE >= $from::DATE) AND ($to IS NULL OR arrived_at::DATE <= $to::DATE)
ORDER BY file_no
