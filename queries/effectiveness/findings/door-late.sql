-- Doors that began to open, or were open, more than 0.3 s later than the tank's usually are (5 traces at least; times from the start of the
-- record), or took more than a second to open. The limits are the project's own.
WITH seen AS (
  SELECT t.*, d.dropped_at, d.tank, median(t.door_open_s) OVER same AS usual_open_s,
    median(t.door_full_s - t.door_open_s) OVER same AS usual_travel_s, count(*) OVER same AS traces
  FROM effectiveness.release t JOIN answers."drop" d ON d."drop" = t."drop"
  WHERE t.door_open_s IS NOT NULL AND t.status = 'read' AND is_told_tank(d.tank)
  WINDOW same AS (PARTITION BY d.tank)),
usual AS (
  SELECT *, median(abs(door_open_s - usual_open_s)) OVER (PARTITION BY tank) AS usual_spread_s FROM seen)
SELECT 'door-late' AS finding, 'warning' AS severity, 'drop ' || "drop" AS subject, dropped_at AS happened_at,
  CASE WHEN traces >= 5 AND usual_spread_s <= 0.1 AND door_open_s > usual_open_s + 0.3
    THEN format('the doors began to open {:.1f} s into the record; this tank''s usually begin at {:.1f} s', door_open_s, usual_open_s)
    ELSE format('the doors took {:.1f} s to open{}', door_full_s - door_open_s,
      CASE WHEN traces >= 5 THEN format('; this tank''s usually take {:.1f} s', usual_travel_s) ELSE '' END) END AS message,
  ['drop:' || "drop", 'obs:' || trace, 'tank:' || tank] AS evidence, aircraft, tank
FROM usual
WHERE traces >= 5 AND usual_spread_s <= 0.1 AND door_open_s > usual_open_s + 0.3
  OR door_full_s - door_open_s > CASE WHEN traces >= 5 THEN usual_travel_s + 0.3 ELSE 1 END
