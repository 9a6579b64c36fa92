-- title: What meter bias was worth
-- grain: one row per base, contract and season with loads priced by the loaded gallon
-- params: season, base
-- columns:
--   base         base code
--   contract     contract number
--   season       season
--   currency     currency of the contract
--   loads        loads priced
--   gallons      gallons by ticket
--   amount       what they come to at the contract's prices
--   pairs        loads that both the meter and a tank gauge saw
--   bias_pct     meter above the fleet's gauges, percent
--   worth        the part of the amount that is the bias; null under 10 pairs
--   worth_low    the same at the lower end of the 95 % interval of the bias
--   worth_high   the same at the upper end
-- note: Positive: the meter read more than the fleet's gauges, and that much was charged for it. No verdict with fewer than 10 pairs. Have the meter tested before a claim rests on this.
SELECT l.base, l.contract, l.season, l.currency, l.loads, l.gallons::DOUBLE AS gallons, l.amount, m.pairs, m.bias_pct,
  CASE WHEN m.pairs >= 10 THEN round(l.amount * (1 - 1 / (1 + m.bias_pct / 100)), 2) END::DECIMAL(18,2) AS worth,
  CASE WHEN m.pairs >= 10 THEN round(l.amount * (1 - 1 / (1 + m.low_pct / 100)), 2) END::DECIMAL(18,2) AS worth_low,
  CASE WHEN m.pairs >= 10 THEN round(l.amount * (1 - 1 / (1 + m.high_pct / 100)), 2) END::DECIMAL(18,2) AS worth_high
FROM contracts.loaded_at_base l LEFT JOIN account.meter_bias m ON m.base = l.base
WHERE ($season IS NULL OR l.season = $season) AND ($base IS NULL OR l.base = $base)
ORDER BY abs(worth) DESC, l.base, l.contract, l.season
