-- Every measured setting of the tanks that are looked at, and the tanks whose settings or adjustments are not those that their charts were made from.
CREATE OR REPLACE TEMP TABLE current_setting AS
SELECT tank, "drop", aircraft, season, epoch_ms(dropped_at) AS dropped_ms, operating_day - DATE '1970-01-01' AS day, error_pct
FROM effectiveness.settings_in(NULL, NULL, NULL, NULL, NULL, NULL, NULL, NULL) WHERE is_told_tank(tank);

CREATE OR REPLACE TEMP TABLE current_mark AS
WITH piece AS (
  SELECT tank, hash("drop", aircraft, season, dropped_ms, day, error_pct) AS h FROM current_setting
  UNION ALL
  SELECT tank, hash(adjusted_at, subject, "before", "after", note) FROM obs.adjustment WHERE fate = 'accepted' AND is_told_tank(tank))
SELECT tank, 'chart ' || tank AS name, concat_ws(' ', 1, count(*), bit_xor(h), sum(h::HUGEINT)) AS mark FROM piece GROUP BY tank;

CREATE OR REPLACE TEMP TABLE changed_tank AS
SELECT tank FROM current_mark c WHERE NOT EXISTS (FROM effectiveness.mark m WHERE m.name = c.name AND m.mark = c.mark)
UNION
SELECT name[7:] FROM effectiveness.mark WHERE name LIKE 'chart %' AND is_told_tank(name[7:]) AND name NOT IN (SELECT name FROM current_mark);
