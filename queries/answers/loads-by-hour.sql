-- title: Loads by base and hour
-- grain: one row per base and hour of the day with loads
-- params: season, from, to, aircraft, tank, base, fluid
-- columns:
--   base       base, or unknown
--   hour       hour of the day, 0 to 23, on the base's own clock; UTC where its zone is not known
--   loads      loads whose fill finished in that hour
--   loaded_gal volume loaded, US gal
--   zone       zone of that clock
SELECT coalesce(l.base, 'unknown') AS base,
  hour(timezone(coalesce(b.zone, 'UTC'), timezone('UTC', l.loaded_at)))::INTEGER AS hour,
  count(*)::INTEGER AS loads, coalesce(sum(l.volume_gal::DECIMAL(38,9))::DOUBLE, 0) AS loaded_gal, coalesce(b.zone, 'UTC') AS zone
FROM answers.loads_in($season, $from, $to, $aircraft, $tank, $base, $fluid) l
LEFT JOIN account.base b ON b.base = l.base
GROUP BY ALL
ORDER BY base, hour
