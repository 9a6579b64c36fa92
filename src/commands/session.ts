import { createHash } from 'node:crypto'
import { type Warehouse as House, Warehouse } from '../warehouse/index.ts'
import type { Arguments } from './arguments.ts'
import { CommandError, type Effects } from './effects.ts'
import { makeNamedFolder } from './named-file.ts'
import { fullSchema } from './schema.ts'
import { warehouseFolder } from './session-folder.ts'

export { inFolder, warehouseFolder } from './session-folder.ts'

/**
 * Opens the warehouse for one piece of work and closes it afterwards; inside a server, the server's own is used and
 * stays open. An update that was cut short is finished first. Only what brings something in makes a new warehouse.
 * @throws CommandError where there is none and `mayMake` is not set: the folder is more likely mistyped than new.
 */
export async function withWarehouse<T>(
  args: Arguments,
  effects: Effects,
  work: (warehouse: House) => Promise<T>,
  { mayMake = false }: { mayMake?: boolean } = {},
): Promise<T> {
  if (effects.warehouse) return work(effects.warehouse)
  const folder = warehouseFolder(args, effects)
  if (!Warehouse.isAt(folder)) {
    if (!mayMake)
      throw new CommandError(
        `there is no warehouse in ${folder}; name another with --warehouse, or begin one with "gallonage ingest"`,
      )
    if (!args.flag('quiet')) effects.err(`there was no warehouse in ${folder}: a new one is made\n`)
  }
  const warehouse = await openWarehouse(folder, effects)
  try {
    return await work(warehouse)
  } finally {
    await warehouse.close()
  }
}

/**
 * Opens the warehouse of a folder with every answer up to date: an update that was cut short is finished, and what
 * another version of gallonage made is made again from the raw rows.
 */
export async function openWarehouse(folder: string, effects: Pick<Effects, 'err'>): Promise<House> {
  makeNamedFolder(folder)
  const warehouse = await Warehouse.open(folder, fullSchema)
  try {
    const left = await leftBehind(warehouse)
    if (left.isLanding) {
      // A run was cut while it landed: it leaves nothing behind.
      await (await import('../intake/index.ts')).sweepLanded(warehouse)
    }
    if (warehouse.isRemade) {
      effects.err(
        'another version of gallonage made this warehouse: everything is made again from the raw rows\n',
      )
      const [{ rebuildObservations }, { bringAllUpToDate }] = await Promise.all([
        import('../intake/index.ts'),
        import('./update.ts'),
      ])
      await warehouse.transaction(async () => {
        await rebuildObservations(warehouse)
        await bringAllUpToDate(warehouse)
        await warehouse.markRebuilt()
      })
    } else if (left.isPending) await (await import('./update.ts')).bringUpToDate(warehouse)
    return warehouse
  } catch (error) {
    await warehouse.close()
    throw error
  }
}

/** What an earlier process began and did not end: to land a file, or to bring the account up to changed observations. */
async function leftBehind(warehouse: House): Promise<{ isLanding: boolean; isPending: boolean }> {
  const [left] = await warehouse.rows<{ isLanding: boolean; isPending: boolean }>(
    `SELECT EXISTS (FROM raw.landing) AS "isLanding",
       EXISTS (FROM obs.pending) OR EXISTS (FROM obs.registry_changed) AS "isPending"`,
  )
  return left!
}

/** Twelve letters that change exactly when what the account rests on does: files, profiles, amendments, settings. */
export async function fingerprintOf(warehouse: House): Promise<string> {
  const parts = await warehouse.rows<{ part: string | null }>(`
    SELECT string_agg(concat_ws(':', file_no, sha256, accepted, superseded, quarantined), ',' ORDER BY file_no) AS part FROM raw.file
    UNION ALL SELECT string_agg(concat_ws(':', profile, revision, sha256), ',' ORDER BY profile, revision) FROM raw.profile
    UNION ALL SELECT string_agg(concat_ws(':', amendment_no, action, payload::VARCHAR, undone_by), ',' ORDER BY amendment_no) FROM raw.amendment
    UNION ALL SELECT string_agg(name || '=' || value, ',' ORDER BY name) FROM raw.setting
    UNION ALL SELECT string_agg(concat_ws(':', season, after_file, until_file), ',' ORDER BY season, after_file) FROM raw.closed_season`)
  return createHash('sha256')
    .update(JSON.stringify(parts.map((row) => row.part)))
    .digest('hex')
    .slice(0, 12)
}
