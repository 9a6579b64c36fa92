-- title: Numbers up to a count
-- params: count:number
-- columns:
--   n  the number
SELECT range AS n FROM range(coalesce($count, 5000)::BIGINT)
