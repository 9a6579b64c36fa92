-- title: endless
SELECT count(*) AS n FROM range(1000000000000) a
