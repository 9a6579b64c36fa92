-- Of findings about names, bases and the registry: whether anything may give cause for them. Those that are not named here always may.
SELECT EXISTS (FROM account.base_name WHERE base IS NULL) AS "unknown-base",
  EXISTS (FROM account.meter_bias WHERE pairs >= 10 AND abs(bias_pct) >= 0.5) AS "meter-bias",
  EXISTS (FROM obs.mounting WHERE off_at IS NOT NULL) AS "mounting-overlap",
  EXISTS (FROM obs.fitting WHERE off_at IS NOT NULL) AS "fitting-overlap",
  EXISTS (FROM account.fitting WHERE off_at IS NOT NULL) AS "fitting-gap",
  EXISTS (FROM idle_aircraft) AS "last-ticket-without-flight"
