-- Written fire names that a day's drops hold and that have not been looked up yet.
CREATE OR REPLACE TEMP TABLE written_fire AS
SELECT DISTINCT l.fire_text AS text, d.operating_day, y.season
FROM stage_day d JOIN told_drop l ON l.r = d.r JOIN day_season y ON y.operating_day = d.operating_day
WHERE d.kind = 'drop' AND l.fire_text IS NOT NULL;
