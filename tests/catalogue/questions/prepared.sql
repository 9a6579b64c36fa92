-- title: What a preparation left
-- params: as_of
-- needs: due
-- columns:
--   as_of   the day that was prepared
--   wanted  the day that was asked
SELECT as_of, $as_of AS wanted FROM answers.prepared
