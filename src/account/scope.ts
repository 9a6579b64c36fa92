import type { Warehouse } from '../warehouse/index.ts'

/** What to compute again: everything, or what belongs to these aircraft and to every tank that they ever carried. */
export type Scope = 'all' | { aircraft: readonly string[] }

/** Registry kinds whose change moves events from one tank, base, fire, day or season to another. */
const moving = ['aircraft', 'tank', 'mounting', 'base', 'season', 'fire']

/** A change of the registry can move any event, so it widens the scope to everything. */
export async function widened(warehouse: Warehouse, scope: Scope): Promise<Scope> {
  if (scope === 'all') return scope
  const list = moving.map((kind) => `'${kind}'`).join()
  const changed = await warehouse.value<number>(
    `SELECT count(*) FROM obs.registry_changed WHERE kind IN (${list})`,
  )
  return changed ? 'all' : scope
}

/**
 * Makes the tables that the stages read: `scope_touched(aircraft)`, `scope_tank(tank)` and `scope_aircraft(aircraft)`,
 * every aircraft that one of the tanks was ever on, since a tank's balance needs all its events.
 */
export async function setScope(
  warehouse: Warehouse,
  scope: Scope,
  extraTanks: readonly string[] = [],
): Promise<void> {
  const everyAircraft = `SELECT aircraft FROM ledger."drop" UNION SELECT aircraft FROM ledger.load
    UNION SELECT aircraft FROM ledger.flight UNION SELECT aircraft FROM ledger.offload`
  await warehouse.run(
    `CREATE OR REPLACE TEMP TABLE scope_touched AS ${
      scope === 'all' ? everyAircraft : 'SELECT unnest(string_split($list, chr(10))) AS aircraft'
    }`,
    scope === 'all' ? undefined : { list: scope.aircraft.join('\n') },
  )
  await warehouse.run(
    `CREATE OR REPLACE TEMP TABLE scope_tank AS ${
      scope === 'all'
        ? 'SELECT tank FROM account.tank UNION SELECT tank FROM account.mounting'
        : `SELECT DISTINCT tank FROM account.mounting WHERE aircraft IN (FROM scope_touched)
           UNION SELECT unnest(string_split($list, chr(10)))`
    }`,
    scope === 'all' ? undefined : { list: extraTanks.join('\n') },
  )
  await warehouse.run(
    `CREATE OR REPLACE TEMP TABLE scope_aircraft AS SELECT aircraft FROM scope_touched
     UNION SELECT aircraft FROM account.mounting WHERE tank IN (SELECT tank FROM scope_tank)`,
  )
}
