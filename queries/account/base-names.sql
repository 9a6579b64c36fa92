-- How written names of bases resolve; only what is otherwise than before is written.
CREATE OR REPLACE TEMP TABLE fresh_name AS
WITH written AS (
  SELECT base_text AS text FROM ledger.load UNION SELECT base_text FROM ledger.offload
  UNION SELECT from_base_text FROM ledger.flight UNION SELECT to_base_text FROM ledger.flight),
spelt AS (
  SELECT base, base AS spelling FROM account.base UNION ALL SELECT base, name FROM account.base
  UNION ALL SELECT base, unnest(aliases) FROM account.base),
exact AS (
  SELECT regexp_replace(lower(spelling), '[^a-z0-9]', '', 'g') AS spelling, min(base) AS base
  FROM spelt WHERE spelling IS NOT NULL GROUP BY 1 HAVING count(DISTINCT base) = 1),
resolved AS (
  SELECT text, max(target) AS target, max(suggestion) AS suggestion FROM obs.reference WHERE kind = 'base' GROUP BY text)
SELECT w.text, coalesce(r.target, e.base) AS base, r.suggestion
FROM written w LEFT JOIN resolved r ON r.text = w.text
LEFT JOIN exact e ON e.spelling = regexp_replace(lower(w.text), '[^a-z0-9]', '', 'g')
WHERE w.text IS NOT NULL;

CREATE OR REPLACE TEMP TABLE other_name AS FROM fresh_name EXCEPT FROM account.base_name;
DELETE FROM account.base_name WHERE text IN (SELECT text FROM other_name) OR text NOT IN (SELECT text FROM fresh_name);
INSERT INTO account.base_name FROM other_name ORDER BY text;
