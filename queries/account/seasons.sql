-- Seasons, and the zones of bases.
CREATE OR REPLACE TEMP TABLE season AS
SELECT name, starts_on, ends_on FROM obs.season WHERE fate = 'accepted'
QUALIFY row_number() OVER (PARTITION BY name ORDER BY obs_no DESC) = 1;

CREATE TEMP TABLE IF NOT EXISTS zone_name AS SELECT name FROM pg_timezone_names();
CREATE OR REPLACE TEMP TABLE base_zone AS SELECT base, zone FROM account.base WHERE zone IN (SELECT name FROM zone_name);
