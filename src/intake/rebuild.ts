import { kinds, tableName } from '../kinds/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { digestFiles, keptProfiles } from './ingest.ts'

/**
 * Makes all observations again from the raw rows, the kept profiles and the amendments, as if every file came today in
 * its order of arrival. Asked twice, it gives the same rows.
 */
export async function rebuildObservations(warehouse: Warehouse): Promise<void> {
  await warehouse.transaction(async () => {
    for (const kind of kinds) await warehouse.run(`DELETE FROM obs.${tableName(kind.name)}`)
    await warehouse.run(
      'DELETE FROM obs.quarantine; DELETE FROM obs.corrected; DELETE FROM obs.reference; DELETE FROM obs.pending; DELETE FROM obs.registry_changed; DELETE FROM obs.key_zone; DELETE FROM obs.finding',
    )
    await warehouse.run('UPDATE raw.file SET read = read + ignored, ignored = 0 WHERE same_as IS NULL')
    const files = await warehouse.rows<{ file_no: number }>(
      'SELECT file_no FROM raw.file WHERE profile IS NOT NULL AND same_as IS NULL ORDER BY file_no',
    )
    await digestFiles(
      warehouse,
      files.map((row) => row.file_no),
      await keptProfiles(warehouse),
    )
  })
}
