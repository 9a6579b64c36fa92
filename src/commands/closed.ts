import type { Warehouse } from '../warehouse/index.ts'
import { canonicalTables } from './tables.ts'

/** What stands in each closed season: its name, and a digest of its canonical tables. */
export type ClosedSeasons = ReadonlyMap<string, string>

/** The closed seasons as they stand now; costs one pass over their rows, and nothing when none is closed. */
export async function closedSeasons(warehouse: Warehouse): Promise<ClosedSeasons> {
  const rows = await warehouse.rows<{ season: string }>(
    'SELECT DISTINCT season FROM raw.closed_season WHERE until_file IS NULL ORDER BY season',
  )
  const digests = new Map<string, string>()
  if (rows.length === 0) return digests
  const select = Object.values(canonicalTables)
    .map(
      (table) => `(SELECT concat_ws(' ', count(*), sum(hash(t))) FROM (${table}) t WHERE season = $season)`,
    )
    .join(', ')
  for (const { season } of rows)
    digests.set(season, String(await warehouse.value(`SELECT concat_ws('|', ${select})`, { season })))
  return digests
}

/** The first season, closed before and after, that is no longer as it was; null when all are. */
export function changedSeason(before: ClosedSeasons, after: ClosedSeasons): string | null {
  for (const [season, digest] of before) if (after.has(season) && after.get(season) !== digest) return season
  return null
}
