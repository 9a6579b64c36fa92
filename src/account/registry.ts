import type { Warehouse } from '../warehouse/index.ts'
import { followFires, keepFires } from './changed-fires.ts'

/**
 * Reads the registry into `account.mounting`, `fitting`, `fire` and `base_name`. Where the account stands (`isStanding`), what changed is left
 * for it: the days of other fires in `fire_day`, the mountings as they were and as they are in `changed_mounting`.
 */
export async function readRegistry(warehouse: Warehouse, isStanding: boolean): Promise<void> {
  const mark = await warehouse.value<string>(await warehouse.readStage('account/registry-mark'))
  const isAsRead =
    isStanding &&
    (await warehouse.value('SELECT 1 FROM account.registry_mark WHERE mark = $mark', { mark })) !== null
  if (isStanding && !isAsRead) await keep(warehouse)
  await stage(warehouse, 'seasons')
  if (!isAsRead) {
    await stage(warehouse, 'registry')
    await warehouse.run('DELETE FROM account.registry_mark')
    await warehouse.run('INSERT INTO account.registry_mark VALUES ($mark)', { mark })
  }
  await stage(warehouse, 'base-names')
  await stage(warehouse, 'reach-box')
  if (isAsRead) await stage(warehouse, 'registry-as-read')
  else if (isStanding) await follow(warehouse)
}

/** What the account was made from, before the registry is read again. */
async function keep(warehouse: Warehouse): Promise<void> {
  await keepFires(warehouse)
  await warehouse.run('CREATE OR REPLACE TEMP TABLE mounting_before AS FROM account.mounting')
}

async function follow(warehouse: Warehouse): Promise<void> {
  await followFires(warehouse)
  await warehouse.run(
    `CREATE OR REPLACE TEMP TABLE changed_mounting AS
       (FROM mounting_before EXCEPT FROM account.mounting) UNION ALL (FROM account.mounting EXCEPT FROM mounting_before)`,
  )
}

async function stage(warehouse: Warehouse, name: string): Promise<void> {
  await warehouse.run(await warehouse.readStage(`account/${name}`))
}
