-- From which day on, and until which: lines that rest on the same days are looked at together.
WITH span AS (SELECT DISTINCT low_on, high_on FROM scope_span),
step AS (
  SELECT low_on, high_on, low_on > max(high_on) OVER (ORDER BY low_on, high_on ROWS BETWEEN UNBOUNDED PRECEDING AND 1 PRECEDING) AS is_apart FROM span),
island AS (SELECT low_on, high_on, count(*) FILTER (is_apart) OVER (ORDER BY low_on, high_on ROWS UNBOUNDED PRECEDING) AS n FROM step),
whole_island AS (SELECT min(low_on) AS low_on, max(high_on) AS high_on FROM island GROUP BY n)
SELECT least(asked_from(), min(low_on))::VARCHAR AS low_on, greatest(asked_to(), max(high_on))::VARCHAR AS high_on
FROM whole_island WHERE high_on >= asked_from() AND low_on <= asked_to()
