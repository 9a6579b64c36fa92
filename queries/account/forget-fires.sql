-- Names that no drop holds any more are forgotten, so that an update leaves what a rebuild would make. An operating day is
-- never three days from the moment in UTC.
DELETE FROM account.fire_text WHERE operating_day >= (cut_day() - INTERVAL 1 DAY)::DATE AND operating_day < end_day() AND (text, operating_day) NOT IN (
  SELECT (l.fire_text, a.operating_day) FROM account."drop" a JOIN ledger."drop" l ON l."drop" = a."drop"
  WHERE a.operating_day >= (cut_day() - INTERVAL 1 DAY)::DATE AND a.operating_day < end_day() AND l.fire_text IS NOT NULL
    AND l.dropped_at >= cut_day() - INTERVAL 4 DAY AND l.dropped_at < end_day() + INTERVAL 4 DAY);
