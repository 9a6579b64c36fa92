-- title: many-rows
SELECT * FROM range(100000)
