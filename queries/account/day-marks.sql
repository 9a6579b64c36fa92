-- What the ledger and the trackers say of the asked aircraft, by day in UTC, and the days on which that is not what the account was
-- made from.
CREATE OR REPLACE TEMP TABLE fresh_mark AS
SELECT aircraft, day, bit_xor(mark) AS mark FROM (
  SELECT aircraft, dropped_at::DATE AS day, hash(e) AS mark FROM ledger."drop" e SEMI JOIN asked_aircraft USING (aircraft)
  UNION ALL SELECT aircraft, loaded_at::DATE, hash(e) FROM ledger.load e SEMI JOIN asked_aircraft USING (aircraft)
  UNION ALL SELECT aircraft, off_at::DATE, hash(e) FROM ledger.flight e SEMI JOIN asked_aircraft USING (aircraft)
  UNION ALL SELECT aircraft, offloaded_at::DATE, hash(e) FROM ledger.offload e SEMI JOIN asked_aircraft USING (aircraft)
  UNION ALL SELECT aircraft, seen_at::DATE, hash(obs_no, latitude, longitude) FROM obs.position SEMI JOIN asked_aircraft USING (aircraft)
  WHERE fate = 'accepted')
GROUP BY aircraft, day;

CREATE OR REPLACE TEMP TABLE changed_day AS
SELECT aircraft, day FROM fresh_mark f
FULL JOIN (SELECT * FROM account.day_mark SEMI JOIN asked_aircraft USING (aircraft)) s USING (aircraft, day)
WHERE f.mark IS DISTINCT FROM s.mark;

DELETE FROM account.day_mark WHERE aircraft IN (FROM asked_aircraft);
INSERT INTO account.day_mark FROM fresh_mark;
