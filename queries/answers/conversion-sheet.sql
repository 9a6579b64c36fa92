-- title: Conversion sheet
-- grain: one row per line of a tank's sheet
-- params: tank, season, as_of, seed
-- needs: due
-- columns:
--   tank      tank serial number
--   section   tank, airframes, counts, last work, before service, later, open findings, release accuracy, or drift
--   line      number of the line in its section
--   item      serial of the tank or component, or registration
--   position  place in the tank
--   what      what the line says: a counter, a task, a finding
--   value     the number that goes with it
--   unit      unit of the number
--   since     count since the last accomplishment, where there is one
--   due       when it is due (50 % day), or the day that the line is of
--   status    of a task: ok, plan, due, in-tolerance, overdue, no-baseline; of a finding: its severity
--   detail    what else is known
-- note: A planning aid: the approved inspection programme, the maintenance manual and licensed staff decide.
-- note: Before service has every task whose limit is reached, inside its planning horizon, or cannot be computed; later has the rest.
-- note: Release accuracy is of the named season, else of the year of as_of; setting-accuracy and drift-alarms have the whole picture.
WITH asked AS (SELECT coalesce($as_of::DATE, current_date) AS as_of),
wanted AS (SELECT * FROM account.tank WHERE $tank IS NULL OR tank = $tank),
list AS (
  SELECT d.* FROM asked.due d CROSS JOIN asked a JOIN wanted USING (tank) WHERE d.as_of = a.as_of AND d.seed = coalesce($seed, 1)),
openings AS (SELECT o.* FROM account.opening o CROSS JOIN asked a JOIN wanted USING (tank) WHERE o.operating_day <= a.as_of),
fitted AS (
  SELECT f.* FROM account.fitting f CROSS JOIN asked a JOIN wanted USING (tank)
  WHERE f.on_at::DATE <= a.as_of AND (f.off_at IS NULL OR f.off_at::DATE > a.as_of)),
place AS (
  SELECT tank, tank AS item, 'tank' AS kind, NULL::VARCHAR AS position FROM wanted
  UNION ALL SELECT tank, component, kind, position FROM fitted),
based AS (
  SELECT item, counter, value, counted_at FROM account.baseline CROSS JOIN asked a WHERE counted_at::DATE <= a.as_of
  QUALIFY row_number() OVER (PARTITION BY item, counter ORDER BY counted_at DESC) = 1),
counted AS (
  SELECT e.item, e.counter, sum(e.amount::DECIMAL(38,15))::DOUBLE AS amount
  FROM account.item_event e CROSS JOIN asked a LEFT JOIN based b ON b.item = e.item AND b.counter = e.counter
  WHERE e.operating_day <= a.as_of AND (b.counted_at IS NULL OR e.happened_at > b.counted_at) AND e.item IN (SELECT item FROM place)
  GROUP BY ALL),
titled AS (SELECT task, any_value(title) AS title FROM obs.task WHERE fate = 'accepted' GROUP BY task),
lines AS (
  SELECT tank, 1 AS section_no, 'tank' AS section, tank AS item, NULL::VARCHAR AS position, 'capacity' AS what, capacity_gal AS value,
    'gal' AS unit, NULL::DOUBLE AS since, NULL::DATE AS due, NULL::VARCHAR AS status,
    concat_ws('; ', 'part number ' || part_number, doors || ' doors, ' || door_use) AS detail, NULL::TIMESTAMP AS sort_at
  FROM wanted
  UNION ALL
  SELECT m.tank, 2, 'airframes', m.aircraft, NULL, 'openings while mounted', coalesce(sum(o.openings), 0)::DOUBLE, 'count', NULL,
    m.off_at::DATE, NULL, strftime(m.on_at, '%Y-%m-%d') || ' to ' || coalesce(strftime(m.off_at, '%Y-%m-%d'), 'now'), m.on_at
  FROM account.mounting m CROSS JOIN asked a JOIN wanted USING (tank)
  LEFT JOIN openings o ON o.tank = m.tank AND o.happened_at >= m.on_at AND (m.off_at IS NULL OR o.happened_at < m.off_at)
  WHERE m.on_at::DATE <= a.as_of GROUP BY m.tank, m.aircraft, m.on_at, m.off_at
  UNION ALL
  SELECT p.tank, 3, 'counts', p.item, p.position, k.counter, coalesce(b.value, 0) + coalesce(c.amount, 0),
    CASE k.counter WHEN 'mounted-hours' THEN 'h' ELSE 'count' END, s.since_last, NULL, NULL, p.kind, NULL
  FROM place p
  JOIN (SELECT item, counter FROM counted UNION SELECT item, counter FROM based WHERE counter <> 'days') k ON k.item = p.item
  LEFT JOIN counted c ON c.item = p.item AND c.counter = k.counter
  LEFT JOIN based b ON b.item = p.item AND b.counter = k.counter
  LEFT JOIN (SELECT item, counter, min(since_last) AS since_last FROM list GROUP BY ALL) s ON s.item = p.item AND s.counter = k.counter
  UNION ALL
  SELECT p.tank, 4, 'last work', w.item, p.position, w.task, w.reading, NULL, NULL, w.done_at::DATE, NULL,
    concat_ws('; ', t.title, w.note), w.done_at
  FROM obs.accomplishment w CROSS JOIN asked a JOIN place p ON p.item = w.item LEFT JOIN titled t ON t.task = w.task
  WHERE w.fate = 'accepted' AND w.done_at::DATE <= a.as_of
  QUALIFY row_number() OVER (PARTITION BY w.task, w.item ORDER BY w.done_at DESC) = 1
  UNION ALL
  SELECT l.tank, CASE WHEN l.status = 'ok' THEN 6 ELSE 5 END, CASE WHEN l.status = 'ok' THEN 'later' ELSE 'before service' END, l.item,
    l.position, l.task || ' ' || l.counter, l.remaining,
    CASE l.counter WHEN 'mounted-hours' THEN 'h left' WHEN 'days' THEN 'days left' ELSE 'left' END,
    l.since_last, l.due_on_p50, l.status, concat_ws('; ', l.title, l.reason), l.due_on_p50::TIMESTAMP
  FROM list l
  UNION ALL
  SELECT w.tank, 7, 'open findings', w.tank, NULL, f.finding, NULL, NULL, NULL, f.happened_at::DATE, f.severity, f.message, f.happened_at
  FROM answers.finding f CROSS JOIN asked a JOIN wanted w ON f.tank = w.tank OR list_contains(f.evidence, 'tank:' || w.tank)
  WHERE f.state = 'open' AND f.severity <> 'note' AND (f.happened_at IS NULL OR f.happened_at::DATE <= a.as_of)
  UNION ALL
  SELECT s.tank, 8, 'release accuracy', s.tank, NULL,
    concat_ws(', ', 'coverage level ' || s.coverage_level, 'fraction ' || round(s.fraction, 2)),
    avg(s.error_pct ORDER BY s.error_pct), 'percent', NULL, NULL,
    NULL, count(*) || ' drops, spread ' || round(coalesce(stddev_samp(s.error_pct ORDER BY s.error_pct), 0), 1) || ' %', NULL
  FROM effectiveness.settings_in($season, NULL, NULL, NULL, $tank, NULL, NULL, NULL) s CROSS JOIN asked a
  WHERE s.operating_day <= a.as_of AND ($season IS NOT NULL OR year(s.operating_day) = year(a.as_of))
  GROUP BY s.tank, s.coverage_level, s.fraction
  UNION ALL
  SELECT w.tank, 9, 'drift', w.tank, NULL, 'drift alarm, releases ' || CASE d.direction WHEN 'high' THEN 'more' ELSE 'less' END || ' than set',
    d.ewma_pct, 'percent', NULL, d.alarm_at::DATE, CASE WHEN d.adjusted_at IS NULL OR d.adjusted_at::DATE > a.as_of THEN 'open' ELSE 'resolved' END,
    concat_ws('; ', 'run begins with ' || d.from_drop, 'change most likely ' || strftime(d.change_at, '%Y-%m-%d'),
      'limit ' || round(d.limit_pct, 1) || ' %',
      CASE WHEN d.adjusted_at::DATE <= a.as_of THEN 'adjusted ' || strftime(d.adjusted_at, '%Y-%m-%d') END), d.alarm_at
  FROM effectiveness.drift_alarm d CROSS JOIN asked a JOIN wanted w USING (tank)
  WHERE d.alarm_at::DATE <= a.as_of
    AND ($season IS NULL AND year(d.operating_day) = year(a.as_of) OR d.season = $season OR year(d.operating_day)::VARCHAR = $season))
SELECT tank, section, (row_number() OVER (PARTITION BY tank, section_no ORDER BY sort_at, position, item, what))::INTEGER AS line, item, position,
  what, value, unit, since, due, status, detail
FROM lines ORDER BY tank, section_no, line
