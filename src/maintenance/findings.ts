import type { Warehouse } from '../warehouse/index.ts'

const ofProgramme = [
  'work-without-count',
  'life-limit-worked',
  'task-without-item',
  'limit-unusable',
] as const
const ofCounts = ['reading-disagrees'] as const

/** What of the account was made again: everything, or what these tanks counted from a moment (UTC, as ISO text) on. */
export type Recounted = 'all' | { readonly tanks: readonly string[]; readonly from: string }

/**
 * Writes `maintenance.finding`: what the programme and the work on record say that a person must look at. It depends on no day,
 * so that the same records always give the same findings. A finding's id follows from its kind and subject alone.
 * Where only some tanks were counted anew, and nothing but the account changed, only readings of work on them since are
 * held against the counts again.
 */
export async function maintain(warehouse: Warehouse, recounted: Recounted = 'all'): Promise<void> {
  await warehouse.transaction(async () => {
    const isThere = await warehouse.value<boolean>("SELECT EXISTS (FROM obs.task WHERE fate = 'accepted')")
    if (recounted === 'all') await warehouse.run('DELETE FROM maintenance.finding')
    if (!isThere) return
    await warehouse.run(await warehouse.readStage('maintenance/work-points'))
    if (recounted === 'all') {
      await warehouse.run(await warehouse.readStage('maintenance/counts'))
      for (const kind of [...ofProgramme, ...ofCounts]) await write(warehouse, kind)
      return
    }
    await keepRecounted(warehouse, recounted)
    if (Number(await warehouse.value('SELECT count(*) FROM due_point')) === 0) return
    await warehouse.run(await warehouse.readStage('maintenance/counts'))
    await warehouse.run(
      `DELETE FROM maintenance.finding WHERE finding = 'reading-disagrees'
         AND (split_part(evidence[2], ':', 1), evidence[2][strpos(evidence[2], ':') + 1:], happened_at) IN
           (SELECT (CASE WHEN item = tank THEN 'tank' ELSE 'component' END, item, done_at) FROM work_read)`,
    )
    for (const kind of ofCounts) await write(warehouse, kind)
  })
}

/** Leaves only the work whose counts may be others now. */
async function keepRecounted(
  warehouse: Warehouse,
  { tanks, from }: Exclude<Recounted, 'all'>,
): Promise<void> {
  await warehouse.run(
    `DELETE FROM work_read WHERE done_at < $from::TIMESTAMP OR reading IS NULL
       OR item NOT IN (SELECT item FROM account.item WHERE tank IN (SELECT unnest(string_split($list, chr(10)))))`,
    { from, list: tanks.join('\n') },
  )
  await warehouse.run(
    'DELETE FROM due_point WHERE (item, happened_at) NOT IN (SELECT (item, done_at) FROM work_read)',
  )
}

async function write(warehouse: Warehouse, kind: string): Promise<void> {
  const select = (await warehouse.readStage(`maintenance/findings/${kind}`)).replace(/;\s*$/, '')
  await warehouse.run(
    `INSERT INTO maintenance.finding BY NAME
     SELECT md5(finding || '|' || subject) AS finding_id, finding, severity, subject, happened_at, message, evidence,
       NULL::VARCHAR AS aircraft, tank FROM (${select})`,
  )
}
