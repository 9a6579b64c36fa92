-- An observer's assessment that no drop on record fits; it counts all the same.
SELECT 'assessment-without-drop' AS finding, 'note' AS severity, format('assessment {}-{}', obs_no // 4294967296, obs_no % 4294967296 // 16) AS subject, assessed_at AS happened_at,
  format('the assessment of {} fits no drop on record: {}', aircraft, CASE WHEN record IS NULL
    THEN 'no fire drop of the aircraft within 30 min before' ELSE 'no drop with the record ' || record END) AS message,
  ['obs:' || obs_no] AS evidence, aircraft, NULL::VARCHAR AS tank
FROM effectiveness.assessments_of(told_aircraft(), told_from()) WHERE "drop" IS NULL
