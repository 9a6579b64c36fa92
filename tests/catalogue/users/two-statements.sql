-- title: two-statements
SELECT 1 AS a; SELECT 2 AS b
