-- title: Closed seasons
-- grain: one row per closing of a season
-- columns:
--   season       season
--   is_closed    true while late rows of it are refused
--   first_day    its first day
--   last_day     its last day
--   closed_at    when, UTC
--   closed_by    by whom
--   reopened_at  when it was opened again, UTC
-- note: While a season is closed, its late rows go to quarantine with the reason season-closed.
SELECT season, until_file IS NULL AS is_closed, first_day, last_day, closed_at, closed_by, reopened_at
FROM raw.closed_season ORDER BY closed_at DESC, season
