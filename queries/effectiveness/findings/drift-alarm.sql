-- A tank whose releases have left what chance explains.
SELECT 'drift-alarm' AS finding, CASE WHEN adjusted_at IS NULL THEN 'warning' ELSE 'note' END AS severity,
  'tank ' || tank || ' run ' || run AS subject, alarm_at AS happened_at,
  format('tank {} releases {} than is set: the mean error went from {:.1f} % to {:.1f} %, beyond the limit of {:.1f} %; the run begins with {} and the change most likely lies between {} and {}{}',
    tank, CASE WHEN ewma_pct > 0 THEN 'more' ELSE 'less' END, center_pct, ewma_pct, limit_pct, from_drop,
    strftime(change_low_at, '%Y-%m-%d %H:%MZ'), strftime(change_high_at, '%Y-%m-%d %H:%MZ'),
    CASE WHEN adjusted_at IS NULL THEN '' ELSE '; adjusted on ' || strftime(adjusted_at, '%Y-%m-%d') END) AS message,
  ['drop:' || from_drop, 'drop:' || change_drop, 'drop:' || alarm_drop, 'tank:' || tank] AS evidence, aircraft, tank
FROM effectiveness.drift_alarm
