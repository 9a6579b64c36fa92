-- title: Line built
-- grain: one row per fire, plus unattributed; by=drop, hour, day, aircraft, tank or coverage makes other groups
-- params: season, from, to, aircraft, tank, base, fire, fluid, by
-- columns:
--   group_name                fire number, or what by asks for (hour: of the day, UTC)
--   drops                     fire drops
--   gallons                   US gal delivered
--   bound_drops               drops with volume, coverage level and pattern width known
--   bound_ft                  theoretical upper bound of line at the set coverage, 100 V / (CL W), ft
--   bound_chains              the same in chains of 66 ft
--   bound_ft_per_drop         per drop that has a bound, ft
--   flight_hours              share of the flights' airborne hours of the drops that have a bound, h
--   bound_ft_per_flight_hour  upper bound per flight hour, ft
--   observed_drops            drops whose line an observer judged
--   observed_ft               length of line by observers, ft
--   observed_chains           the same in chains
--   observed_ft_per_drop      per judged drop, ft
--   observed_of_bound         observed by bound, of the drops that have both
--   longest_observed_ft       longest line by an observer, ft
--   longest_bound_ft          largest bound of one drop, ft
--   name                      fire name, for groups by fire
-- note: The bound spreads every gallon evenly at the set coverage over the tank's stated pattern width; no drop reaches it. Line on the
--   ground is what observers say.
-- note: A coverage level set as more than 6 counts as 6 here, which makes the bound larger still.
WITH seen AS (
  -- What observers said of a drop, without what outcomes know of it besides.
  SELECT "drop", arg_max(line_ft, assessed_at) AS line_ft FROM effectiveness.assessment WHERE "drop" IS NOT NULL GROUP BY "drop"),
dropped AS (
  SELECT CASE coalesce($by, 'fire') WHEN 'fire' THEN coalesce(d.fire, 'unattributed') WHEN 'drop' THEN d."drop"
      WHEN 'hour' THEN lpad(hour(d.dropped_at)::VARCHAR, 2, '0') WHEN 'day' THEN d.operating_day::VARCHAR
      WHEN 'aircraft' THEN d.aircraft WHEN 'tank' THEN coalesce(d.tank, 'unknown')
      WHEN 'coverage' THEN coalesce(printf('%g', d.coverage_level), 'unknown')
      ELSE error('there are no groups by ' || $by || left(d."drop", 0) || '; take fire, drop, hour, day, aircraft, tank or coverage') END
      AS group_name,
    d.volume_gal, d.flight_hours, 100 * d.volume_gal / nullif(d.coverage_level * k.pattern_width_ft, 0) AS bound_ft, o.line_ft, d.flight,
    CASE WHEN coalesce($by, 'fire') = 'fire' THEN d.fire_name END AS fire_name
  FROM answers.drops_in($season, $from, $to, $aircraft, $tank, $base, $fire, $fluid) d
  LEFT JOIN account.tank k ON k.tank = d.tank
  LEFT JOIN seen o ON o."drop" = d."drop"
  WHERE d.purpose = 'fire'),
every AS (
  SELECT *, 1 AS counted FROM dropped
  UNION ALL SELECT 'unattributed', NULL, 0, NULL, NULL, NULL, NULL, 0
  WHERE coalesce($by, 'fire') = 'fire' AND ($fire IS NULL OR $fire = 'unattributed'))
SELECT group_name, sum(counted)::INTEGER AS drops, coalesce(sum(volume_gal::DECIMAL(38,9))::DOUBLE, 0) AS gallons, count(bound_ft)::INTEGER AS bound_drops,
  sum(bound_ft::DECIMAL(38,9))::DOUBLE AS bound_ft, sum(bound_ft::DECIMAL(38,9))::DOUBLE / 66 AS bound_chains, sum(bound_ft::DECIMAL(38,9))::DOUBLE / count(bound_ft) AS bound_ft_per_drop,
  coalesce(sum(flight_hours::DECIMAL(38,15)) FILTER (WHERE bound_ft IS NOT NULL)::DOUBLE, 0) AS flight_hours,
  sum(bound_ft::DECIMAL(38,9)) FILTER (WHERE flight IS NOT NULL)::DOUBLE / nullif(sum(flight_hours::DECIMAL(38,15)) FILTER (WHERE bound_ft IS NOT NULL)::DOUBLE, 0)
    AS bound_ft_per_flight_hour,
  count(line_ft)::INTEGER AS observed_drops, sum(line_ft::DECIMAL(38,9))::DOUBLE AS observed_ft, sum(line_ft::DECIMAL(38,9))::DOUBLE / 66 AS observed_chains,
  sum(line_ft::DECIMAL(38,9))::DOUBLE / count(line_ft) AS observed_ft_per_drop,
  sum(line_ft::DECIMAL(38,9)) FILTER (WHERE bound_ft IS NOT NULL)::DOUBLE / nullif(sum(bound_ft::DECIMAL(38,9)) FILTER (WHERE line_ft IS NOT NULL)::DOUBLE, 0) AS observed_of_bound,
  max(line_ft) AS longest_observed_ft, max(bound_ft) AS longest_bound_ft,
  any_value(fire_name) AS name
FROM every GROUP BY group_name ORDER BY group_name = 'unattributed', group_name
