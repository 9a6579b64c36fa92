-- Who had been filled more than three days before `asked_day()`.
CREATE OR REPLACE TEMP TABLE older_event AS
SELECT DISTINCT aircraft, tank, NULL::VARCHAR AS season, 0 AS step FROM account.cycle
WHERE opened_at < asked_day() - INTERVAL 3 DAY AND is_near_tank(tank)
UNION ALL SELECT DISTINCT aircraft, NULL, NULL, 0 FROM account.bare_cycle
WHERE opened_at < asked_day() - INTERVAL 3 DAY AND is_kin(aircraft);
