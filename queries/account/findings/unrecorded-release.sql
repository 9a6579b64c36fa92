-- More left the tank than was written down.
SELECT 'unrecorded-release' AS finding, 'warning' AS severity, 'load ' || load AS subject, inferred_at AS happened_at,
  format('{:,d} gal left tank {} between the load at {} and the next one without a record; {} opening(s) are counted for it',
    round(missing_gal)::BIGINT, tank, strftime(opened_at, '%Y-%m-%d %H:%M UTC'), inferred_openings) AS message,
  ['load:' || load, 'tank:' || tank] AS evidence, aircraft, tank
FROM account.cycle WHERE inferred_openings > 0 AND is_near_tank(tank)
