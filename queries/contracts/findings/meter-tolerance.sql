-- A base whose meter differs from the fleet's gauges by more than the published tolerance of its accuracy class.
-- What is said to be believed there is from memory.
WITH published(meter_class, tolerance_pct, source) AS (VALUES
  ('0.3', 0.3, 'maintenance tolerance, NIST Handbook 44 section 3.30 table T.2, as quoted by a calibration firm; Directive 2014/32/EU annex VII table 2 line A has the same'),
  ('0.5', 0.5, 'Directive 2014/32/EU annex VII table 2 line A; NIST Handbook 44 section 3.30 is believed to have the same: look it up before it is relied on'),
  ('1.0', 1.0, 'Directive 2014/32/EU annex VII table 2 line A'),
  ('1.1', 1.0, 'maintenance tolerance, believed to be that of NIST Handbook 44 section 3.30: look it up before it is relied on'),
  ('1.5', 1.5, 'Directive 2014/32/EU annex VII table 2 line A; NIST Handbook 44 section 3.31, for water, is believed to have the same: look it up before it is relied on'),
  ('2.5', 2.5, 'Directive 2014/32/EU annex VII table 2 line A')),
classed AS (
  SELECT m.*, p.*, m.low_pct > p.tolerance_pct OR m.high_pct < -p.tolerance_pct AS is_sure
  FROM account.meter_bias m JOIN account.base b ON b.base = m.base
  JOIN published p ON p.meter_class = CASE WHEN trim(b.meter_class) = '1' THEN '1.0' ELSE trim(b.meter_class) END
  WHERE m.pairs >= 10 AND abs(m.bias_pct) > p.tolerance_pct)
SELECT 'meter-out-of-tolerance' AS finding, CASE WHEN is_sure THEN 'warning' ELSE 'note' END AS severity, 'base ' || base AS subject,
  NULL::TIMESTAMP AS happened_at,
  format('the meter at {} reads {:.2f} % {} than the fleet''s gauges ({:.2f} to {:.2f} %, {} loads){}; class {} allows {:.1f} % in service ({}). Tolerances are per test draft: have the meter tested before a claim rests on this',
    base, abs(bias_pct), CASE WHEN bias_pct > 0 THEN 'more' ELSE 'less' END, low_pct, high_pct, pairs,
    CASE WHEN is_sure THEN '' ELSE ', by more or less than the tolerance: more loads will tell' END, meter_class, tolerance_pct, source) AS message,
  ['base:' || base] AS evidence, NULL::VARCHAR AS aircraft
FROM classed ORDER BY base
