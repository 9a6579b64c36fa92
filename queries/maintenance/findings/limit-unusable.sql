-- A limit that says nothing, or counts months of something that is not days.
SELECT 'limit-unusable' AS finding, 'warning' AS severity, 'task ' || task || ' ' || counter AS subject, NULL::TIMESTAMP AS happened_at,
  CASE WHEN "interval" IS NULL AND threshold IS NULL
    THEN format('task {} has neither an interval nor a threshold of {}: it never falls due by it; add one or drop the line', task, counter)
    ELSE format('task {} has a limit of {} in months; months need the counter days', task, counter) END AS message,
  ['obs:' || obs_no] AS evidence, NULL::VARCHAR AS tank
FROM obs.task
WHERE fate = 'accepted' AND triggered_by IS NULL AND ("interval" IS NULL AND threshold IS NULL
  OR counter <> 'days' AND regexp_matches(lower(coalesce("interval", '') || ' ' || coalesce(threshold, '')), '[0-9] ?(mo|m|month|months|y|yr|year|years)( |$)'))
