-- What is asked for (due_ask: as_of, wanted_tank): items as they stand on the day, the limits that apply to each, and the work done.
CREATE OR REPLACE TEMP TABLE due_item AS
WITH parts AS (
  SELECT serial, part_number FROM obs.component WHERE fate = 'accepted'
  QUALIFY row_number() OVER (PARTITION BY serial ORDER BY obs_no DESC) = 1),
zero AS (SELECT tank, min(on_at)::DATE AS first_on FROM account.mounting GROUP BY tank),
fitted AS (SELECT component, min(on_at)::DATE AS first_on FROM account.fitting GROUP BY component)
SELECT t.tank AS item, 'tank' AS kind, t.tank, NULL::VARCHAR AS position, t.part_number, z.first_on,
  NULL::DATE AS fitted_on
FROM account.tank t LEFT JOIN zero z ON z.tank = t.tank CROSS JOIN due_ask
WHERE wanted_tank IS NULL OR t.tank = wanted_tank
UNION ALL
SELECT f.component, f.kind, f.tank, f.position, p.part_number, b.first_on,
  CASE WHEN f.off_at::DATE <= as_of + 1 THEN as_of ELSE f.on_at::DATE END
FROM account.fitting f CROSS JOIN due_ask LEFT JOIN parts p ON p.serial = f.component
LEFT JOIN fitted b ON b.component = f.component
WHERE f.on_at::DATE <= as_of AND (f.off_at IS NULL OR f.off_at::DATE > as_of)
  AND (wanted_tank IS NULL OR f.tank = wanted_tank);

CREATE OR REPLACE TEMP TABLE due_limit AS
WITH named AS (
  SELECT item, regexp_replace(lower(kind), '[^a-z0-9]', '', 'g') AS name FROM due_item
  UNION SELECT item, regexp_replace(lower(part_number), '[^a-z0-9]', '', 'g') FROM due_item WHERE part_number IS NOT NULL),
task AS (
  SELECT *, regexp_replace(lower(applies_to), '[^a-z0-9]', '', 'g') AS name FROM obs.task WHERE fate = 'accepted'
  QUALIFY row_number() OVER (PARTITION BY task, counter, applies_to ORDER BY obs_no DESC) = 1),
-- A reading is one number: it is held against the first counted limit of its task.
read_by AS (SELECT task, arg_min(counter, obs_no) AS reading_counter FROM task WHERE counter <> 'days' GROUP BY task),
extended AS (
  SELECT x.* FROM obs.extension x CROSS JOIN due_ask
  WHERE fate = 'accepted' AND (expires_on IS NULL OR expires_on >= as_of)
  QUALIFY row_number() OVER (PARTITION BY task, item, counter ORDER BY obs_no DESC) = 1)
SELECT row_number() OVER (ORDER BY i.tank, t.task, i.item, t.counter)::INTEGER - 1 AS limit_no,
  t.task, t.title, i.item, i.kind, i.tank, i.position, t.counter, t."interval" AS step, t.threshold AS first_step,
  coalesce(t.tolerance, 0) AS tolerance, coalesce(t.early_policy, 'rebase') AS early_policy,
  coalesce(t.repeats, 'yes') = 'no' AS is_life_limit, t.triggered_by, t.within AS within_steps,
  coalesce(r.reading_counter = t.counter, false) AS is_read, i.first_on, i.fitted_on, x."limit" AS extended_to, x.authority, x.expires_on,
  t.counter <> 'door-cycles' OR coalesce(i.position LIKE 'door-%', false) AS is_counted
FROM task t JOIN named n ON n.name = t.name JOIN due_item i ON i.item = n.item
LEFT JOIN read_by r ON r.task = t.task
LEFT JOIN extended x ON x.task = t.task AND x.item = i.item AND x.counter = t.counter;

CREATE OR REPLACE TEMP TABLE due_work AS
SELECT l.limit_no, a.done_at, a.reading, a.note
FROM due_limit l JOIN obs.accomplishment a ON a.task = l.task AND a.item = l.item CROSS JOIN due_ask
WHERE a.fate = 'accepted' AND a.done_at::DATE <= as_of AND NOT l.is_life_limit
QUALIFY row_number() OVER (PARTITION BY l.limit_no, a.done_at ORDER BY a.obs_no DESC) = 1;

-- The oldest event since the last work that asks for a triggered task.
CREATE OR REPLACE TEMP TABLE due_trigger AS
WITH event AS (
  SELECT 'emergency-release' AS event, tank, happened_at, operating_day, coalesce('drop:' || "drop", 'load:' || load) AS evidence
  FROM account.opening WHERE is_emergency_release
  UNION ALL
  SELECT 'overfill', tank, loaded_at, operating_day, 'load:' || load FROM account.load WHERE is_overfill AND tank IS NOT NULL),
done AS (SELECT limit_no, max(done_at) AS done_at FROM due_work GROUP BY limit_no)
SELECT l.limit_no, arg_min(e.happened_at, e.happened_at) AS happened_at, arg_min(e.operating_day, e.happened_at) AS operating_day,
  arg_min(e.evidence, e.happened_at) AS evidence, count(*)::INTEGER AS events
FROM due_limit l JOIN account.item i ON i.item = l.item
JOIN event e ON e.event = l.triggered_by AND e.tank = i.tank
  AND (i.on_at IS NULL OR e.happened_at >= i.on_at) AND (i.off_at IS NULL OR e.happened_at < i.off_at)
CROSS JOIN due_ask LEFT JOIN done d ON d.limit_no = l.limit_no
WHERE e.operating_day <= as_of AND (d.done_at IS NULL OR e.happened_at > d.done_at)
GROUP BY l.limit_no;
