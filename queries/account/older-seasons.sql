-- What there was more than three days before `asked_day()`, and in which season.
CREATE OR REPLACE TEMP TABLE older_event AS
SELECT DISTINCT aircraft, tank, season, 0 AS step FROM account.load WHERE loaded_at < asked_day() - INTERVAL 3 DAY AND is_kin(aircraft)
UNION ALL SELECT DISTINCT aircraft, tank, season, 1 FROM account."drop" WHERE dropped_at < asked_day() - INTERVAL 3 DAY AND is_kin(aircraft)
UNION ALL SELECT DISTINCT aircraft, tank, season, 2 FROM account.offload
WHERE offloaded_at < asked_day() - INTERVAL 3 DAY AND is_kin(aircraft)
UNION ALL SELECT DISTINCT aircraft, tank, season, 3 FROM account.flight
WHERE off_at < asked_day() - INTERVAL 3 DAY AND coalesce(on_at, off_at) < asked_day() - INTERVAL 3 DAY AND is_kin(aircraft);
