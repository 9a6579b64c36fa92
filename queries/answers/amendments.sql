-- title: Amendments
-- grain: one row per amendment
-- params: from, to
-- columns:
--   amendment_no  number, in the order made
--   made_at       when, UTC
--   made_by       by whom
--   action        what it does
--   reason        why
--   payload       what it changes, as JSON
--   undone_by     number of the amendment that took it back
-- note: From and to are days on which amendments were made, UTC.
SELECT amendment_no, made_at, made_by, action, reason, payload::VARCHAR AS payload, undone_by
FROM raw.amendment
WHERE ($from IS NULL OR made_at::DATE >= $from::DATE) AND ($to IS NULL OR made_at::DATE <= $to::DATE)
ORDER BY amendment_no DESC
