-- Every piece of work whose reading can be held against a count: due_ask and due_point for `counts.sql`.
CREATE OR REPLACE TEMP TABLE due_ask AS SELECT DATE '9999-12-30' AS as_of, NULL::VARCHAR AS wanted_tank;
CREATE OR REPLACE TEMP TABLE work_read AS
WITH task AS (
  SELECT task, arg_min(counter, obs_no) AS counter, bool_or(repeats = 'no') AS is_life_limit
  FROM obs.task WHERE fate = 'accepted' AND counter <> 'days' GROUP BY task)
SELECT a.task, a.item, a.done_at, a.reading, t.counter, t.is_life_limit, a.obs_no, i.tank
FROM obs.accomplishment a JOIN task t ON t.task = a.task
LEFT JOIN (SELECT item, max(tank) AS tank FROM account.item GROUP BY item) i ON i.item = a.item
WHERE a.fate = 'accepted'
QUALIFY row_number() OVER (PARTITION BY a.task, a.item, a.done_at ORDER BY a.obs_no DESC) = 1;
CREATE OR REPLACE TEMP TABLE due_point AS
SELECT DISTINCT item, counter, done_at AS happened_at, done_at AS known_at FROM work_read;
