-- title: Completeness
-- grain: one row per aircraft, day with flights, and witness expected to report
-- params: season, from, to, aircraft
-- columns:
--   aircraft         registration
--   day              operating day, local to the base
--   witness          controller or crew, where that aircraft has had one this season
--   flights          flights of the day
--   events           drops, loads and flights that this witness reported; 0: nothing came
--   last_arrived_at  when this witness's last file for the day arrived, UTC
-- note: Days on which a witness is missing come first. A witness is expected when it has reported on that aircraft in the season.
-- note: Where neither has reported in a season, the crew is expected.
WITH flown AS (
  SELECT aircraft, operating_day AS day, season, count(*) AS flights
  FROM answers.flights_in($season, $from, $to, $aircraft, NULL) GROUP BY ALL),
told AS (
  SELECT aircraft, operating_day AS day, witness, count(*) AS events FROM account.reported
  WHERE witness IN ('controller', 'crew') AND ($aircraft IS NULL OR aircraft = $aircraft) GROUP BY ALL),
heard AS (SELECT DISTINCT f.aircraft, f.season, t.witness FROM told t JOIN (
    SELECT DISTINCT aircraft, operating_day AS day, season FROM account.flight
    UNION SELECT aircraft, operating_day, season FROM account."drop"
    UNION SELECT aircraft, operating_day, season FROM account.load) f ON f.aircraft = t.aircraft AND f.day = t.day),
expected AS (
  SELECT * FROM heard
  UNION ALL SELECT DISTINCT aircraft, season, 'crew' FROM flown
  WHERE (aircraft, season) NOT IN (SELECT (aircraft, season) FROM heard)),
event AS (
  SELECT 'drop' AS kind, "drop" AS id, aircraft, operating_day AS day FROM account."drop"
  UNION ALL SELECT 'load', load, aircraft, operating_day FROM account.load
  UNION ALL SELECT 'flight', flight, aircraft, operating_day FROM account.flight),
arrived AS (
  SELECT e.aircraft, e.day, k.witness, max(f.arrived_at) AS last_arrived_at
  FROM event e JOIN ledger.link k ON k.kind = e.kind AND k.id = e.id
  JOIN raw.file f ON f.file_no = k.obs_no >> 32
  WHERE $aircraft IS NULL OR e.aircraft = $aircraft GROUP BY ALL)
SELECT f.aircraft, f.day, x.witness, f.flights::INTEGER AS flights, coalesce(t.events, 0)::INTEGER AS events, a.last_arrived_at
FROM flown f JOIN expected x ON x.aircraft = f.aircraft AND x.season = f.season
LEFT JOIN told t ON t.aircraft = f.aircraft AND t.day = f.day AND t.witness = x.witness
LEFT JOIN arrived a ON a.aircraft = f.aircraft AND a.day = f.day AND a.witness = x.witness
ORDER BY coalesce(t.events, 0) > 0, f.day DESC, f.aircraft, x.witness
