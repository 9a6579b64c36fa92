-- Aircraft whose last load was two days before the last of all.
CREATE OR REPLACE TEMP TABLE idle_aircraft AS
WITH latest AS (SELECT aircraft, max(loaded_at) AS loaded_at FROM account.load GROUP BY aircraft)
FROM latest WHERE loaded_at < (SELECT max(loaded_at) FROM latest) - INTERVAL 2 DAY;
