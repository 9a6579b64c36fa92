-- title: Quarantine
-- grain: one row per line that could not be read
-- params: from, to
-- columns:
--   file     path of the file
--   line     line in it, from 1
--   profile  profile it was read with
--   field    column that could not be read
--   text     what stands there
--   reason   why, and what to do
--   kind     record kind it was read as
--   arrived_at  when the file arrived, UTC
--   obs      number of the line, as amendments name it
-- note: From and to are days of arrival, UTC. A quarantined line is tried again when the registry learns, and leaves
--   this list when a later file of the same profile repeats the lines around it and says it otherwise, or when somebody
--   sets it aside; it is then superseded.
SELECT f.path AS file, q.line, q.profile, q.field, q.text, q.reason, q.kind, f.arrived_at, concat(q.file_no, '-', q.line) AS obs
FROM obs.waiting q LEFT JOIN raw.file f ON f.file_no = q.file_no
WHERE ($from IS NULL OR f.arrived_at::DATE >= $from::DATE) AND ($to IS NULL OR f.arrived_at::DATE <= $to::DATE)
ORDER BY q.file_no, q.line, q.field
