-- The charts are now those of these settings and adjustments.
DELETE FROM effectiveness.mark WHERE name IN (SELECT 'chart ' || tank FROM changed_tank);
INSERT INTO effectiveness.mark SELECT name, mark FROM current_mark SEMI JOIN changed_tank USING (tank) ORDER BY name;
DROP TABLE current_setting; DROP TABLE current_mark; DROP TABLE changed_tank;
