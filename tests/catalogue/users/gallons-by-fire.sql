-- title: A name that is taken
SELECT 1 AS one
