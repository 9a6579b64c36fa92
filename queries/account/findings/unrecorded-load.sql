-- More was dropped than the loads on record put in.
SELECT 'unrecorded-load' AS finding, 'warning' AS severity,
  'tank ' || tank || ' ' || strftime(opened_at, '%Y-%m-%d %H:%M:%S') AS subject, opened_at AS happened_at,
  format('{:,d} gal more were dropped from tank {} after {} than the loads on record had put in: a load is missing',
    round(short_gal)::BIGINT, tank, strftime(opened_at, '%Y-%m-%d %H:%M UTC')) AS message,
  list_concat(CASE WHEN load IS NULL THEN [] ELSE ['load:' || load] END, ['tank:' || tank]) AS evidence, aircraft, tank
FROM account.cycle WHERE short_gal > 0 AND is_near_tank(tank)
