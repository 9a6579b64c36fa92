import { kinds, tableName } from '../kinds/index.ts'
import type { Warehouse } from '../warehouse/index.ts'

/**
 * Brings the counts of every file up to date with what became of its rows. A row that gave several observations counts
 * once: accepted before superseded before duplicate.
 */
export async function countFates(warehouse: Warehouse): Promise<void> {
  const perKind = kinds
    .map(
      (kind) =>
        `SELECT file_no, line_no AS line, rec, fate FROM obs.${tableName(kind.name)} WHERE fate <> 'quarantined'`,
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
      UNION ALL
      SELECT file_no, 0, count(*) FILTER (NOT is_repeat AND is_corrected), count(*) FILTER (is_repeat), count(*) FILTER (NOT is_repeat AND NOT is_corrected)
      FROM (
        SELECT q.file_no, q.line, coalesce(bool_and(is_repeat), false) AS is_repeat, bool_or(by_file IS NOT NULL OR by_amendment IS NOT NULL) AS is_corrected
        FROM obs.quarantine q LEFT JOIN obs.corrected c ON c.file_no = q.file_no AND c.line = q.line GROUP BY 1, 2
      ) GROUP BY 1
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
