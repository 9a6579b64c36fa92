-- Names that no drop holds any more are forgotten, so that an update leaves what a rebuild would make. An operating day is
-- never three days from the moment in UTC. Names by themselves: what a join knows of its other side would be asked of every row.
DELETE FROM account.fire_text WHERE operating_day >= (cut_day() - INTERVAL 1 DAY)::DATE AND operating_day < end_day() AND (text, operating_day) NOT IN (
  WITH named AS MATERIALIZED (
    SELECT "drop", fire_text FROM ledger."drop"
    WHERE dropped_at >= cut_day() - INTERVAL 4 DAY AND dropped_at < end_day() + INTERVAL 4 DAY),
  dated AS MATERIALIZED (
    SELECT "drop", operating_day FROM account."drop"
    WHERE operating_day >= (cut_day() - INTERVAL 1 DAY)::DATE AND operating_day < end_day())
  SELECT (l.fire_text, a.operating_day) FROM dated a JOIN named l ON l."drop" = a."drop" WHERE l.fire_text IS NOT NULL);
