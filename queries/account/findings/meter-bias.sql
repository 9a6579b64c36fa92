-- A base whose meter and the fleet's gauges differ by more than chance, and by at least half a percent.
WITH biased AS (SELECT * FROM account.meter_bias WHERE pairs >= 10 AND abs(bias_pct) >= 0.5 AND (low_pct > 0 OR high_pct < 0))
SELECT 'meter-bias' AS finding, 'warning' AS severity, 'base ' || m.base AS subject, NULL::TIMESTAMP AS happened_at,
  format('the meter at {} reads {:.1f} % {} than the fleet''s gauges ({:.1f} to {:.1f} %, {} loads): of {:,d} gal on its tickets about {:,d} gal',
    m.base, abs(m.bias_pct), CASE WHEN m.bias_pct > 0 THEN 'more' ELSE 'less' END, m.low_pct, m.high_pct, m.pairs,
    round(coalesce(l.gallons, 0))::BIGINT, round(abs(coalesce(l.gallons, 0) * (1 - 1 / (1 + m.bias_pct / 100))))::BIGINT) AS message,
  ['base:' || m.base] AS evidence, NULL::VARCHAR AS aircraft, NULL::VARCHAR AS tank
FROM biased m
LEFT JOIN (SELECT a.base, sum(l.meter_gal::DECIMAL(38,9))::DOUBLE AS gallons FROM account.load a JOIN ledger.load l ON l.load = a.load
  WHERE a.base IN (SELECT base FROM biased) GROUP BY a.base) l
  ON l.base = m.base
