-- title: no-such-table
SELECT * FROM answers.nothing
