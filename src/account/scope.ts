import { oneOf } from '../values/sql/write.ts'
import type { Warehouse } from '../warehouse/index.ts'

/**
 * What to compute again: everything, or what belongs to these aircraft and to every tank that they ever carried. Nothing that the
 * ledger or a tracker says of them changed before `since`, a day (`2026-07-04`) in UTC; without it, anything may have.
 */
export type Scope = 'all' | { aircraft: readonly string[]; since?: string }

/** Registry kinds whose change moves events from one base, day or season to another; fires and mountings are followed by themselves. */
const moving = ['aircraft', 'tank', 'base', 'season']

/** A change of the registry can move any event, so it widens the scope to everything. */
export async function widened(warehouse: Warehouse, scope: Scope): Promise<Scope> {
  if (scope === 'all') return scope
  const list = moving.map((kind) => `'${kind}'`).join()
  const changed = await warehouse.value<number>(
    `SELECT count(*) FROM obs.registry_changed WHERE kind IN (${list})`,
  )
  return changed ? 'all' : scope
}

/** Names as a table of one column. */
export async function nameTable(
  warehouse: Warehouse,
  table: string,
  column: string,
  names: readonly string[],
): Promise<void> {
  await warehouse.run(
    `CREATE OR REPLACE TEMP TABLE ${table} AS SELECT unnest(string_split($list, chr(10))) AS ${column} WHERE $list <> ''`,
    { list: names.join('\n') },
  )
}

/** `scope_touched`, `scope_tank` and `scope_aircraft` for everything on record. */
export async function scopeAll(warehouse: Warehouse): Promise<void> {
  await warehouse.run(`
    CREATE OR REPLACE TEMP TABLE scope_touched AS
      SELECT aircraft FROM ledger."drop" UNION SELECT aircraft FROM ledger.load
      UNION SELECT aircraft FROM ledger.flight UNION SELECT aircraft FROM ledger.offload
      UNION SELECT aircraft FROM obs.position WHERE fate = 'accepted';
    CREATE OR REPLACE TEMP TABLE scope_tank AS SELECT tank FROM account.tank UNION SELECT tank FROM account.mounting;
    CREATE OR REPLACE TEMP TABLE scope_aircraft AS
      SELECT aircraft FROM scope_touched UNION SELECT aircraft FROM account.mounting;
    CREATE OR REPLACE TEMP MACRO is_touched(name) AS name IS NOT NULL;
    CREATE OR REPLACE TEMP MACRO is_near_aircraft(name) AS name IS NOT NULL;
    CREATE OR REPLACE TEMP MACRO is_kin(name) AS name IS NOT NULL;
    CREATE OR REPLACE TEMP MACRO is_near_tank(name) AS name IS NOT NULL`)
}

/**
 * The same for some aircraft and the tanks that they carried after a moment (ISO, null: ever): a tank's balance needs
 * all its events, so every aircraft that carried one of the tanks after it is looked at too.
 */
export async function scopeSome(
  warehouse: Warehouse,
  aircraft: readonly string[],
  extraTanks: readonly string[],
  after: string | null,
): Promise<void> {
  await nameTable(warehouse, 'scope_touched', 'aircraft', aircraft)
  await nameTable(warehouse, 'scope_extra', 'tank', extraTanks)
  const later = after === null ? '' : `AND (off_at IS NULL OR off_at > TIMESTAMP '${after}')`
  await warehouse.run(`
    CREATE OR REPLACE TEMP TABLE scope_tank AS
      SELECT DISTINCT tank FROM account.mounting WHERE aircraft IN (FROM scope_touched) ${later}
      UNION FROM scope_extra;
    CREATE OR REPLACE TEMP TABLE scope_aircraft AS FROM scope_touched
      UNION SELECT aircraft FROM account.mounting WHERE tank IN (FROM scope_tank) ${later}`)
  await nearNames(warehouse)
}

/**
 * The same names as constants: the readers of tables look at them before they read the rest of a row. All events of
 * tanks in scope, whenever they were, are those of `is_kin` aircraft.
 */
async function nearNames(warehouse: Warehouse): Promise<void> {
  const rows = await warehouse.rows<{ kind: string; name: string }>(`
    SELECT 'is_touched' AS kind, aircraft AS name FROM scope_touched
    UNION ALL SELECT 'is_near_aircraft', aircraft FROM scope_aircraft UNION ALL SELECT 'is_near_tank', tank FROM scope_tank
    UNION ALL (SELECT 'is_kin', aircraft FROM scope_aircraft
      UNION SELECT 'is_kin', aircraft FROM account.mounting WHERE tank IN (FROM scope_tank))
    ORDER BY ALL`)
  const named = (kind: string): string[] =>
    rows.filter((row) => row.kind === kind && row.name !== null).map((row) => row.name)
  await warehouse.run(
    ['is_touched', 'is_near_aircraft', 'is_near_tank', 'is_kin']
      .map((kind) => `CREATE OR REPLACE TEMP MACRO ${kind}(name) AS ${oneOf('name', named(kind))}`)
      .join(';'),
  )
}

/** Says of which aircraft the ledger may have changed, and from which midnight on. */
export async function askOf(
  warehouse: Warehouse,
  aircraft: 'all' | readonly string[],
  since: string | null,
): Promise<void> {
  await warehouse.run(`
    CREATE OR REPLACE TEMP MACRO is_asked(name) AS ${aircraft === 'all' ? 'name IS NOT NULL' : oneOf('name', aircraft)};
    CREATE OR REPLACE TEMP MACRO asked_since() AS TIMESTAMP '${since ?? '0001-01-01'} 00:00:00'`)
}

/** Of more drops than these, those that come out as they stand are left alone; of fewer, finding them is more work than writing them. */
const fewDrops = 1000

const times = { drop: 'dropped_at', load: 'loaded_at', flight: 'off_at', offload: 'offloaded_at' }

/** A night: a moment (UTC, as ISO text) with nothing in the air, and the operating day that begins after it. */
export interface Night {
  at: string
  day: string
}

/** From which night on the account is made again, and until which; then with the loads after it that close what is open in it. */
export interface Window {
  cut: Night
  end?: Night & { loads: readonly string[]; lastLoad: string }
}

const never = { at: 'infinity', day: 'infinity' }

/**
 * Makes `told_drop`, `told_load`, `told_flight` and `told_offload`, what the stages read: the ledger's records in scope within the
 * window, with `r`, their number in it. `cut_at()` and `end_at()` are its moments, `cut_day()` and `end_day()` the operating days
 * after them; nothing before the cut depends on anything after it. `told_load` has the loads after the end, too: they are
 * read, and not written. `is_much()` when it is very much.
 */
export async function setReading(warehouse: Warehouse, window: Window | 'all'): Promise<void> {
  const { at, day } = window === 'all' ? { at: '-infinity', day: '-infinity' } : window.cut
  const after = window === 'all' ? undefined : window.end
  const end = after ?? never
  await warehouse.run(`
    CREATE OR REPLACE TEMP MACRO cut_at() AS TIMESTAMP '${at}';
    CREATE OR REPLACE TEMP MACRO cut_midnight() AS TIMESTAMP '${at === '-infinity' ? at : at.slice(0, 10)}';
    CREATE OR REPLACE TEMP MACRO cut_day() AS DATE '${day}';
    CREATE OR REPLACE TEMP MACRO end_at() AS TIMESTAMP '${end.at}';
    CREATE OR REPLACE TEMP MACRO end_midnight() AS TIMESTAMP '${after ? await clockedUntil(warehouse, after.at) : end.at}';
    CREATE OR REPLACE TEMP MACRO end_day() AS DATE '${end.day}'`)
  for (const [kind, time] of Object.entries(times)) {
    const told = `* FROM ledger."${kind}" WHERE is_excluded IS NOT TRUE`
    const until =
      after && kind === 'load' && after.loads.length > 0
        ? `${time} <= TIMESTAMP '${after.lastLoad}' AND (${time} < TIMESTAMP '${end.at}' OR ${oneOf('load', after.loads)})`
        : after
          ? `${time} < TIMESTAMP '${end.at}'`
          : 'true'
    // Few of very many rows are numbered anew: a join lays out the whole range of what it joins by.
    const near = `SELECT row_number() OVER () AS r, ${told} AND ${time} >= TIMESTAMP '${at}' AND ${until} AND is_near_aircraft(aircraft)`
    await warehouse.run(
      window === 'all'
        ? `CREATE OR REPLACE TEMP VIEW told_${kind} AS SELECT rowid AS r, ${told}`
        : `CREATE OR REPLACE TEMP TABLE near_${kind} AS ${near};
           CREATE OR REPLACE TEMP VIEW told_${kind} AS FROM near_${kind}`,
    )
  }
  const read = window === 'all' ? 0 : Number(await warehouse.value('SELECT count(*) FROM near_drop'))
  await warehouse.run(`CREATE OR REPLACE TEMP MACRO is_much() AS ${read > fewDrops}`)
  await whereBefore(warehouse, at)
}

/** Leaves in `base_before` where each aircraft was before the cut: most were somewhere in the month before it. */
async function whereBefore(warehouse: Warehouse, cut: string): Promise<void> {
  const near = cut === '-infinity' ? [] : [`TIMESTAMP '${cut}' - INTERVAL 30 DAY`]
  for (const since of [...near, "TIMESTAMP '-infinity'"]) {
    await warehouse.run(
      `CREATE OR REPLACE TEMP MACRO known_since() AS ${since};${await warehouse.readStage('account/before-cut')}`,
    )
    const isAll = await warehouse.value<boolean>(
      'SELECT NOT EXISTS (FROM scope_aircraft WHERE aircraft NOT IN (SELECT aircraft FROM base_before))',
    )
    if (isAll) return
  }
}

/**
 * The midnight by which all is done that the last points before a moment may bear on: a day after the one of the moment. None where
 * the clocks of days after it move points: they follow the days before.
 */
async function clockedUntil(warehouse: Warehouse, at: string): Promise<string> {
  const day = new Date(Date.parse(`${at.slice(0, 10)}T00:00:00Z`) + 2 * 86_400_000).toISOString().slice(0, 10)
  const isMoved = await warehouse.value<boolean>(
    `SELECT EXISTS (FROM ledger.clock WHERE offset_min <> 0 AND ended_at >= TIMESTAMP '${day}' - INTERVAL 3 DAY AND is_touched(aircraft))`,
  )
  return isMoved ? never.at : day
}
