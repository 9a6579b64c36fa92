-- What the ledger and the trackers say of the asked aircraft, by day in UTC, and the days on which that is not what the account was
-- made from. Nothing changed before the midnight `asked_since`.
CREATE OR REPLACE TEMP TABLE fresh_mark AS
SELECT aircraft, day, bit_xor(mark) AS mark FROM (
  SELECT aircraft, dropped_at::DATE AS day, hash(e) AS mark FROM ledger."drop" e
  WHERE is_asked(aircraft) AND dropped_at >= asked_since()
  UNION ALL SELECT aircraft, loaded_at::DATE, hash(e) FROM ledger.load e
  WHERE is_asked(aircraft) AND loaded_at >= asked_since()
  UNION ALL SELECT aircraft, off_at::DATE, hash(e) FROM ledger.flight e
  WHERE is_asked(aircraft) AND off_at >= asked_since()
  UNION ALL SELECT aircraft, offloaded_at::DATE, hash(e) FROM ledger.offload e
  WHERE is_asked(aircraft) AND offloaded_at >= asked_since()
  UNION ALL SELECT aircraft, seen_at::DATE, hash(obs_no, latitude, longitude) FROM obs.position
  WHERE is_asked(aircraft) AND fate = 'accepted' AND seen_at >= asked_since())
GROUP BY aircraft, day;

CREATE OR REPLACE TEMP TABLE changed_day AS
SELECT aircraft, day FROM fresh_mark f
FULL JOIN (SELECT * FROM account.day_mark WHERE is_asked(aircraft) AND day >= asked_since()) s USING (aircraft, day)
WHERE f.mark IS DISTINCT FROM s.mark;

DELETE FROM account.day_mark WHERE (aircraft, day) IN (SELECT (aircraft, day) FROM changed_day);
INSERT INTO account.day_mark SELECT f.* FROM fresh_mark f SEMI JOIN changed_day USING (aircraft, day);
