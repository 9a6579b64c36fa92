-- First and last day with an opening in the season that is replayed: the one asked for, else the newest with any.
WITH used AS (
  SELECT d.season, d.operating_day FROM account."drop" d CROSS JOIN due_ask WHERE d.tank IS NOT NULL AND d.operating_day <= as_of),
chosen AS (
  SELECT coalesce(
    (SELECT max(season) FROM used WHERE season = $season OR year(operating_day)::VARCHAR = $season),
    (SELECT arg_max(season, operating_day) FROM used WHERE $season IS NULL)) AS season)
SELECT chosen.season, min(operating_day) - DATE '1970-01-01' AS first_day, max(operating_day) - DATE '1970-01-01' AS last_day
FROM chosen JOIN used ON used.season = chosen.season GROUP BY chosen.season;
