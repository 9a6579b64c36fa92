-- The two seasons compared, the days of the year on which both flew, and the aircraft that flew in both; no row where there are not two.
WITH flown AS (
  SELECT season, min(operating_day) AS first_day, aircraft, min(strftime(operating_day, '%m-%d')) AS first_md,
    max(strftime(operating_day, '%m-%d')) AS last_md
  FROM answers.flight WHERE season IS NOT NULL AND ($aircraft IS NULL OR aircraft = $aircraft) GROUP BY season, aircraft),
season AS (SELECT season, min(first_day) AS first_day FROM flown GROUP BY season),
later AS (
  SELECT season, first_day FROM season WHERE $season IS NULL OR season = $season OR year(first_day)::VARCHAR = $season
  ORDER BY first_day DESC LIMIT 1),
earlier AS (
  SELECT s.season, s.first_day FROM season s, later l
  WHERE s.season <> l.season AND ($against IS NULL AND s.first_day < l.first_day OR s.season = $against OR year(s.first_day)::VARCHAR = $against)
  ORDER BY s.first_day DESC LIMIT 1),
in_both AS (
  SELECT a.aircraft FROM flown a JOIN later l ON l.season = a.season JOIN flown b ON b.aircraft = a.aircraft
  JOIN earlier e ON e.season = b.season),
span AS (
  SELECT f.season, min(first_md) AS first_md, max(last_md) AS last_md FROM flown f JOIN in_both USING (aircraft) GROUP BY f.season)
SELECT l.season, e.season AS against, max(s.first_md) AS from_month_day, min(s.last_md) AS to_month_day,
  (SELECT list(aircraft ORDER BY aircraft) FROM in_both) AS aircraft
FROM later l, earlier e, span s WHERE s.season IN (l.season, e.season)
GROUP BY l.season, e.season HAVING count(*) = 2
