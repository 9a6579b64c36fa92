-- title: My own total
-- params: fluid
-- columns:
--   gallons  US gal
SELECT sum(volume_gal) AS gallons FROM answers.drops_of($fluid)
