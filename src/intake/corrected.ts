import type { Warehouse } from '../warehouse/index.ts'
import { rowHash } from './plan.ts'
import { markSetAside } from './set-aside.ts'

/** How far from a quarantined line its neighbours are looked for, lines. */
const nearLines = 20
/** So much of what a line says must stand in the one that is taken for its correction. */
const leastLike = 0.5

interface Series {
  readonly layout_no: number
  readonly width: number
  readonly file_no: number
  readonly is_whole: boolean
}

/**
 * Finds quarantined lines that a later file of the same profile and headers has mended: the file repeats the lines
 * around it, no longer says this one, and says another that is like it in its place (of a file that is sent whole it is
 * enough that the line is gone). Such a line waits for nobody any more; it counts as superseded. The latest file that
 * repeats the lines around decides. Leaves `obs.corrected`; what it says depends only on the rows in order of arrival
 * and on what persons have set aside.
 */
export async function markCorrected(warehouse: Warehouse): Promise<void> {
  await warehouse.run(
    'DELETE FROM obs.corrected WHERE (file_no, line) NOT IN (SELECT (file_no, line) FROM obs.quarantine)',
  )
  await warehouse.run(`
    INSERT INTO obs.corrected SELECT DISTINCT file_no, line, NULL::INTEGER, NULL::INTEGER, file_no FROM obs.quarantine
    WHERE (file_no, line) NOT IN (SELECT (file_no, line) FROM obs.corrected)`)
  const later = await warehouse.rows<Series>(`
    SELECT l.file_no, l.layout_no, len(y.header)::INTEGER AS width, coalesce(l.is_whole, false) AS is_whole
    FROM raw.file l JOIN raw.layout y USING (layout_no) JOIN (
      SELECT f.profile, f.layout_no, min(checked_to) AS checked_to, min(c.file_no) AS first
      FROM obs.corrected c JOIN raw.file f USING (file_no) GROUP BY 1, 2
    ) waiting ON waiting.profile = l.profile AND waiting.layout_no = l.layout_no
    WHERE l.file_no > waiting.checked_to AND l.same_as IS NULL ORDER BY l.file_no`)
  for (const file of later) await hearFrom(warehouse, file)
  await markSetAside(warehouse)
}

/** What one later file says of the lines in quarantine. */
async function hearFrom(warehouse: Warehouse, file: Series): Promise<void> {
  const table = `raw.layout_${file.layout_no}`
  const hash = `CASE WHEN problem IS NULL THEN ${rowHash(file.width)} ELSE hash(surplus, problem) END`
  const cells = Array.from({ length: file.width }, (_, i) => `c${i + 1}`)
  const filled = cells.map((cell) => `(coalesce(trim(w.${cell}), '') <> '')::INTEGER`).join(' + ')
  const same = cells
    .map((cell) => `(coalesce(trim(w.${cell}), '') <> '' AND w.${cell} = t.${cell})::INTEGER`)
    .join(' + ')
  await warehouse.run(`
    CREATE OR REPLACE TEMP TABLE intake_waiting AS
    SELECT c.file_no, c.line FROM obs.corrected c JOIN raw.file f USING (file_no)
    JOIN raw.file l ON l.file_no = ${file.file_no} AND l.profile = f.profile AND l.layout_no = f.layout_no
    WHERE c.checked_to < ${file.file_no}`)
  await warehouse.run(`
    CREATE OR REPLACE TEMP TABLE intake_heard AS
    WITH told AS MATERIALIZED (SELECT line, ${hash} AS h FROM ${table} WHERE file_no = ${file.file_no}),
    before AS MATERIALIZED (
      SELECT file_no, line, ${hash} AS h FROM ${table} WHERE file_no IN (SELECT file_no FROM temp.intake_waiting)
    ),
    ends AS (SELECT file_no, min(line) AS first, max(line) AS last FROM before GROUP BY 1),
    near AS (
      SELECT w.file_no, w.line, b.line AS at, b.h FROM temp.intake_waiting w
      JOIN before b ON b.file_no = w.file_no AND b.line BETWEEN w.line - ${nearLines} AND w.line + ${nearLines}
    ),
    -- Of equal lines the one nearest to the old place is meant.
    found AS (
      SELECT n.file_no, n.line, n.at, arg_min(t.line, (abs(t.line - n.at), t.line)) AS now
      FROM near n JOIN told t USING (h) GROUP BY 1, 2, 3
    ),
    place AS (
      SELECT w.file_no, w.line,
        max(f.now) FILTER (f.at = w.line) AS still,
        arg_max(f.now, f.at) FILTER (f.at < w.line) AS above, max(f.at) FILTER (f.at < w.line) AS above_at,
        arg_min(f.now, f.at) FILTER (f.at > w.line) AS below,
        any_value(e.first) AS first, any_value(e.last) AS last
      FROM temp.intake_waiting w JOIN ends e USING (file_no) LEFT JOIN found f USING (file_no, line) GROUP BY 1, 2
    ),
    known AS (
      SELECT *, coalesce(above, 0) AS low,
        coalesce(below, above + 1 + last - above_at) AS high
      FROM place
      WHERE still IS NOT NULL OR (
        (above IS NOT NULL OR below IS NOT NULL)
        AND (above IS NOT NULL OR first >= line) AND (below IS NOT NULL OR last <= line)
      )
    ),
    gaps AS (
      SELECT k.file_no, k.line, t.line AS now FROM known k JOIN told t ON t.line > k.low AND t.line < k.high
      WHERE k.still IS NULL AND t.h NOT IN (SELECT b.h FROM before b WHERE b.file_no = k.file_no)
    ),
    alike AS (
      SELECT DISTINCT g.file_no, g.line FROM gaps g
      JOIN ${table} w ON w.file_no = g.file_no AND w.line = g.line
      JOIN ${table} t ON t.file_no = ${file.file_no} AND t.line = g.now
      WHERE w.problem IS NOT NULL OR (${same}) >= ${leastLike} * (${filled})
    )
    SELECT k.file_no, k.line,
      k.still IS NULL AND (a.line IS NOT NULL OR ${file.is_whole}) AS is_corrected,
      k.still IS NULL AND a.line IS NULL AND NOT ${file.is_whole} AS is_unsaid
    FROM known k LEFT JOIN alike a USING (file_no, line)`)
  await warehouse.run(`
    UPDATE obs.corrected SET by_file = CASE WHEN h.is_corrected THEN ${file.file_no} END
    FROM temp.intake_heard h
    WHERE NOT h.is_unsaid AND obs.corrected.file_no = h.file_no AND obs.corrected.line = h.line`)
  await warehouse.run(`
    UPDATE obs.corrected SET checked_to = ${file.file_no}
    WHERE (file_no, line) IN (SELECT (file_no, line) FROM temp.intake_waiting)`)
}
