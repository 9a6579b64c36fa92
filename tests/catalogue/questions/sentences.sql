-- title: Sentences
-- grain: one row per sentence
-- params: only
-- columns:
--   drop      id
--   quantity  of several items
--   nobody    never known
--   message   a sentence
SELECT "drop", quantity, nobody, message FROM (VALUES
  (1, 'D-N801ZY-20260704T183020Z', 3146.0e0, NULL::VARCHAR, 'fluid left the tank unrecorded: the level before the load was above the gauge'),
  (2, 'D-N801ZY-20260704T190000Z', 0.8e0, NULL, 'ok')) t(n, "drop", quantity, nobody, message)
WHERE $only IS NULL OR n::VARCHAR = $only
