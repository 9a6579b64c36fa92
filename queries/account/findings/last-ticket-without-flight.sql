-- The last load of an aircraft, when no flight, drop or offload followed it and others were loaded days later: the last
-- loads of the records may still be in their tanks. Always asked of every aircraft.
WITH last_load AS (
  SELECT a.aircraft, max(a.load) AS load, a.loaded_at
  FROM account.load a JOIN idle_aircraft l ON l.aircraft = a.aircraft AND l.loaded_at = a.loaded_at GROUP BY a.aircraft, a.loaded_at),
idle AS (
  SELECT l.* FROM last_load l
  WHERE NOT EXISTS (FROM account.flight f WHERE f.aircraft = l.aircraft AND f.off_at >= l.loaded_at - INTERVAL 3 MINUTE)
    AND NOT EXISTS (FROM account.offload o WHERE o.aircraft = l.aircraft AND o.offloaded_at >= l.loaded_at)
    AND NOT EXISTS (FROM account."drop" d WHERE d.aircraft = l.aircraft AND d.dropped_at >= l.loaded_at AND d.load = l.load))
SELECT 'ticket-without-flight' AS finding, 'warning' AS severity, 'load ' || i.load AS subject, i.loaded_at AS happened_at,
  format('{:,d} gal were loaded at {} and no flight, drop or offload followed on record', round(l.volume_gal)::BIGINT,
    strftime(i.loaded_at, '%Y-%m-%d %H:%M UTC')) AS message,
  ['load:' || i.load] AS evidence, i.aircraft, a.tank
FROM idle i JOIN account.load a ON a.load = i.load JOIN ledger.load l ON l.load = i.load
WHERE list_contains(l.witnesses, 'ticket')
  AND EXISTS (FROM account.flight f WHERE f.aircraft = i.aircraft AND f.season = a.season)
