-- title: Season against season
-- grain: one row per rate
-- params: season, against, aircraft
-- needs: seasons
-- columns:
--   measure        rate
--   unit           its unit
--   season         later season
--   season_value   value in it
--   season_n       drops, loads or days behind it
--   against        season that it is compared with
--   against_value  value in that
--   against_n      drops, loads or days behind that
--   difference     season_value - against_value
--   low            low end of its 95 % interval
--   high           high end of its 95 % interval
--   is_different   the interval leaves out zero
--   is_small       fewer than 10 on either side: a hint, not a finding
--   method         of the interval
--   from_day       first day of the year compared (month-day)
--   to_day         last day of the year compared (month-day)
--   aircraft       aircraft compared
-- note: Like for like: only aircraft that flew in both seasons, and only the days of the year from the later of the two first flights to
--   the earlier of the two last ones. Fires, bases and weather still differ.
-- note: Shares by Newcombe (1998), means by Welch, rates per hour by the ratio of daily sums. Of twenty comparisons one leaves out zero by
--   chance.
SELECT measure, unit, season, season_value, season_n, against, against_value, against_n, difference, low, high, low > 0 OR high < 0 AS is_different,
  least(season_n, against_n) < 10 AS is_small, method, from_month_day AS from_day, to_month_day AS to_day, aircraft
FROM asked.season_rate
-- The preparation has chosen the seasons and aircraft already.
WHERE ($season || $against || $aircraft) IS NULL OR true
ORDER BY measure
