import type { KindName } from '../kinds/index.ts'
import type { Warehouse } from '../warehouse/index.ts'

/**
 * Tells matching and account which aircraft and times changed.
 * @param rows SQL of (aircraft, at_time): what of this kind came, left or is amended
 */
export async function noteChanged(warehouse: Warehouse, kind: KindName, rows: string): Promise<void> {
  await warehouse.run(
    `INSERT INTO obs.pending SELECT aircraft, min(at_time), max(at_time), '${kind}' FROM (${rows}) GROUP BY 1`,
  )
}
