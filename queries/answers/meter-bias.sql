-- title: Meter bias
-- grain: one row per base with loads that both the meter and a tank gauge saw
-- params: base
-- columns:
--   base         base code
--   pairs        loads that both saw
--   bias_pct     meter above the fleet's gauges, percent
--   low_pct      lower end of the 95 % interval, percent
--   high_pct     upper end of the 95 % interval, percent
--   applied_pct  what the balance takes off, in steps of 0.5 %; 0 under 10 pairs
--   name         base name
-- note: A base's bias is against the middle of the fleet's gauges, not against a certified standard.
SELECT m.base, m.pairs, m.bias_pct, m.low_pct, m.high_pct, m.applied_pct, b.name
FROM account.meter_bias m LEFT JOIN account.base b ON b.base = m.base
WHERE $base IS NULL OR m.base = $base ORDER BY m.base
