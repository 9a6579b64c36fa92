import type { Warehouse } from '../warehouse/index.ts'
import type { Related } from './types.ts'

/** More than these nobody follows one by one: a list or a file holds them all. */
export const mostRelated = 500

/** Drops of a tank, fire, base, aircraft, load or flight, the earliest first. */
export async function dropsOf(
  warehouse: Warehouse,
  kind: 'tank' | 'fire' | 'base' | 'aircraft' | 'load' | 'flight',
  id: string,
): Promise<Related[]> {
  const rows = await warehouse.rows<{ drop: string; label: string }>(
    `SELECT "drop", strftime(dropped_at, '%Y-%m-%d %H:%M') || ' UTC, ' || aircraft || ', ' || coalesce(round(volume_gal)::BIGINT::VARCHAR || ' gal', 'volume unknown') || ', ' || purpose AS label
     FROM account."drop" WHERE "${kind}" = $id ORDER BY dropped_at, "drop" LIMIT ${mostRelated}`,
    { id },
  )
  return rows.map((row) => ({ kind: 'drop', id: row.drop, label: row.label }))
}
