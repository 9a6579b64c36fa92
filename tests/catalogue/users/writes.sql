-- title: writes
DELETE FROM answers.drop
