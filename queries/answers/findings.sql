-- title: Findings
-- grain: one row per finding
-- params: season, from, to, aircraft, tank
-- columns:
--   finding      kind of finding
--   severity     error, warning or note
--   subject      what it is about
--   happened_at  when it happened, UTC
--   message      what is wrong, in plain words
--   evidence     records behind it
--   aircraft     aircraft concerned
--   tank         tank concerned
--   finding_id   id, to accept or resolve it
--   state        open, accepted or resolved
--   state_by     who said so
--   state_reason why
-- note: Season, from and to choose by the UTC day; findings without a time, and those about no single aircraft or tank, stay in.
SELECT finding, severity, subject, happened_at, message, evidence, aircraft, tank, finding_id, state, state_by, state_reason
FROM answers.finding
WHERE ($season IS NULL OR happened_at IS NULL OR year(happened_at)::VARCHAR = $season
    OR happened_at::DATE BETWEEN (SELECT min(starts_on) FROM obs.season WHERE fate = 'accepted' AND name = $season)
      AND (SELECT max(ends_on) FROM obs.season WHERE fate = 'accepted' AND name = $season))
  AND ($from IS NULL OR happened_at IS NULL OR happened_at::DATE >= $from::DATE)
  AND ($to IS NULL OR happened_at IS NULL OR happened_at::DATE <= $to::DATE)
  AND ($aircraft IS NULL OR aircraft IS NULL OR aircraft = $aircraft) AND ($tank IS NULL OR tank IS NULL OR tank = $tank)
ORDER BY list_position(['error', 'warning', 'note'], severity), happened_at, finding, subject
