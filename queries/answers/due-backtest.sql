-- title: Backtest of due dates
-- grain: one row per horizon, in days from the forecast to its 50 % day
-- params: season, tank, as_of, every:number, seed:number
-- needs: backtest
-- columns:
--   horizon_days                days from the forecast to its 50 % day
--   forecasts                   forecasts that were compared with what happened
--   inside_80                   of them, those whose day lay in the 10 % to 90 % window; censored ones earn a part
--   coverage                    inside_80 by forecasts; about 0.80 is right
--   censored                    limits that the season's last day on record had not reached
--   before_p10                  reached before the window
--   after_p90                   not reached by the end of the window
--   pinball_days                mean pinball loss at 10, 50 and 90 %, in days; lower is better
--   straight_line_pinball_days  the same for a straight line at the rate of the last 30 days
--   season                      the season that was replayed; null when none has drops
--   tanks                       tanks that were replayed; 100 of a larger fleet
-- note: Replays the season (the newest with drops unless named): every few days (7 unless told), with only earlier days known, the limit whose 50 % day lies so many days ahead is forecast for every tank and every counter that a task limits; limits in days are left out.
-- note: Of a fleet of more than 100 tanks 100 are replayed, with the history of all of them: those whose serials have the least SHA-256, so that they are always the same.
-- note: A limit not reached by the season's last day on record is scored as censored: it earns the chance that the forecast itself gave to its lying in the window.
-- note: A planning aid: the approved inspection programme, the maintenance manual and licensed staff decide.
SELECT horizon_days, forecasts, inside_80, coverage, censored, before_p10, after_p90, pinball_days, straight_line_pinball_days,
  season, tanks
FROM asked.due_backtest
WHERE asked_season IS NOT DISTINCT FROM $season AND tank IS NOT DISTINCT FROM $tank
  AND as_of IS NOT DISTINCT FROM $as_of::DATE AND every = greatest(1, round(coalesce($every, 7))) AND seed = coalesce($seed, 1)
ORDER BY horizon_days
