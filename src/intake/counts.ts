import { kinds, tableName } from '../kinds/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { FileList } from './file-list.ts'

/** What became of the lines in quarantine, by file: text that changes exactly when a count does. */
export type Held = ReadonlyMap<number, string>

/** Lines in quarantine by file: those that a later file mends or a person set aside, those sent before, those that wait. */
const heldSql = `
  SELECT file_no, count(*) FILTER (NOT is_repeat AND is_corrected) AS superseded, count(*) FILTER (is_repeat) AS duplicate,
    count(*) FILTER (NOT is_repeat AND NOT is_corrected) AS quarantined
  FROM (
    SELECT q.file_no, q.line, coalesce(bool_and(is_repeat), false) AS is_repeat, bool_or(by_file IS NOT NULL OR by_amendment IS NOT NULL) AS is_corrected
    FROM obs.quarantine q LEFT JOIN obs.corrected c ON c.file_no = q.file_no AND c.line = q.line GROUP BY 1, 2
  ) GROUP BY 1`

/** What became of the lines in quarantine: to be read before it changes, for `countFates`. */
export async function readHeld(warehouse: Warehouse): Promise<Held> {
  const rows = await warehouse.rows<{ file_no: number; held: string }>(
    `SELECT file_no, concat_ws(' ', superseded, duplicate, quarantined) AS held FROM (${heldSql})`,
  )
  return new Map(rows.map((row) => [row.file_no, row.held]))
}

/**
 * Brings the counts of files up to date with what became of their rows. A row that gave several observations counts
 * once: accepted before superseded before duplicate.
 * @param touched files of which rows came, left or stand otherwise.
 * @param before what `readHeld` gave: the counts of files whose lines in quarantine stand otherwise follow too.
 */
export async function countFates(
  warehouse: Warehouse,
  touched: ReadonlySet<number>,
  before: Held,
): Promise<void> {
  const held = await readHeld(warehouse)
  const moved = [...before.keys(), ...held.keys()].filter((file) => before.get(file) !== held.get(file))
  if (touched.size + moved.length === 0) return
  const files = new FileList([...touched, ...moved])
  const perKind = kinds
    .map(
      (kind) =>
        `SELECT file_no, line_no AS line, rec, fate FROM obs.${tableName(kind.name)} WHERE ${files.own} AND fate <> 'quarantined'`,
    )
    .join(' UNION ALL ')
  const rank = "CASE fate WHEN 'accepted' THEN 1 WHEN 'superseded' THEN 2 ELSE 3 END"
  await warehouse.run(`
    CREATE OR REPLACE TEMP TABLE intake_counts AS
    WITH every AS (${perKind}),
    several AS (SELECT DISTINCT file_no FROM every WHERE rec > 0),
    ranked AS (
      SELECT file_no, ${rank} AS best FROM every WHERE file_no NOT IN (SELECT file_no FROM several)
      UNION ALL
      SELECT file_no, min(${rank}) AS best FROM every WHERE file_no IN (SELECT file_no FROM several) GROUP BY file_no, line
    ), seen AS (
      SELECT file_no, count(*) FILTER (best = 1) AS accepted, count(*) FILTER (best = 2) AS superseded, count(*) FILTER (best = 3) AS duplicate, 0 AS quarantined
      FROM ranked GROUP BY 1
      UNION ALL SELECT file_no, 0, superseded, duplicate, quarantined FROM (${heldSql}) WHERE ${files.own}
    )
    SELECT file_no, sum(accepted)::INTEGER AS accepted, sum(superseded)::INTEGER AS superseded, sum(duplicate)::INTEGER AS duplicate, sum(quarantined)::INTEGER AS quarantined
    FROM seen GROUP BY 1`)
  await warehouse.run(`
    UPDATE raw.file SET accepted = c.accepted, superseded = c.superseded, duplicate = c.duplicate, quarantined = c.quarantined
    FROM temp.intake_counts c WHERE raw.file.file_no = c.file_no
      AND (raw.file.accepted, raw.file.superseded, raw.file.duplicate, raw.file.quarantined) IS DISTINCT FROM (c.accepted, c.superseded, c.duplicate, c.quarantined)`)
}

/** Rows that the counts do not account for: always empty. */
export const unaccountedSql = `SELECT file_no, path, read, accepted, duplicate, superseded, quarantined FROM raw.file
  WHERE read <> accepted + duplicate + superseded + quarantined`
