import type { Warehouse } from '../warehouse/index.ts'

const kinds = [
  'reading-disagrees',
  'work-without-count',
  'life-limit-worked',
  'task-without-item',
  'limit-unusable',
] as const

/**
 * Writes `maintenance.finding`: what the programme and the work on record say that a person must look at. It depends on no day,
 * so that the same records always give the same findings. A finding's id follows from its kind and subject alone.
 */
export async function maintain(warehouse: Warehouse): Promise<void> {
  await warehouse.transaction(async () => {
    await warehouse.run('DELETE FROM maintenance.finding')
    const isThere = await warehouse.value<boolean>("SELECT EXISTS (FROM obs.task WHERE fate = 'accepted')")
    if (!isThere) return
    for (const stage of ['work-points', 'counts'])
      await warehouse.run(await warehouse.readStage(`maintenance/${stage}`))
    for (const kind of kinds) {
      const select = (await warehouse.readStage(`maintenance/findings/${kind}`)).replace(/;\s*$/, '')
      await warehouse.run(
        `INSERT INTO maintenance.finding BY NAME
         SELECT md5(finding || '|' || subject) AS finding_id, finding, severity, subject, happened_at, message, evidence,
           NULL::VARCHAR AS aircraft, tank FROM (${select})`,
      )
    }
  })
}
