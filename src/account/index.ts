import type { Warehouse } from '../warehouse/index.ts'
import { balance } from './balance.ts'
import { areFiresChanged } from './changed-fires.ts'
import { writeFindings } from './findings.ts'
import { resolveDisputed, resolveFires } from './fires.ts'
import { fitMeterBias, type MeterBias } from './meter-bias.ts'
import { type Change, changeOf, type Reach, reachOf, windowsOf } from './reach.ts'
import { readRegistry } from './registry.ts'
import { askOf, nameTable, type Scope, scopeAll, scopeSome, setReading, widened } from './scope.ts'

export { findingView } from './finding-view.ts'
export type { Change } from './reach.ts'
export { schemaSql } from './schema.ts'
export type { Scope } from './scope.ts'

/** Tables of events, all made again from the ledger when everything is. */
const eventTables = [
  '"drop"',
  'load',
  'flight',
  'offload',
  'cycle',
  'bare_cycle',
  'fire_text',
  'disputed_text',
  'meter_bias',
  'meter_pair',
  'day_mark',
  'finding',
]

/**
 * Computes what every canonical event belongs to (tank, base, fire, flight, day), the balance of every tank and the
 * findings, from `ledger` and the registry. With `aircraft`, only what changed of theirs is made again, with all that
 * hangs on it: from a night before the change on, for them and for the tanks that they carried since. The result equals
 * a computation of everything to the last bit.
 * @returns what was made again, for the rooms that rest on it; null when nothing was.
 */
export async function account(warehouse: Warehouse, scope: Scope): Promise<Change> {
  return warehouse.onOneThread(() => warehouse.transaction(() => accountOf(warehouse, scope)))
}

async function accountOf(warehouse: Warehouse, scope: Scope): Promise<Change> {
  const wide = await widened(warehouse, scope)
  if (wide === 'all')
    await warehouse.run(eventTables.map((table) => `DELETE FROM account.${table}`).join(';'))
  await readRegistry(warehouse, wide !== 'all')
  await homeZone(warehouse)
  const reach =
    wide === 'all' ? await reachAll(warehouse) : await reachOf(warehouse, wide.aircraft, wide.since ?? null)
  const lost = reach ? await accountWithin(warehouse, reach) : new Set<string>()
  if (!reach) await nothingTouched(warehouse)
  const isAll = wide === 'all' || (await areFiresChanged(warehouse))
  await resolveDisputed(warehouse, isAll)
  await writeFindings(warehouse, reach !== null, isAll ? 'all' : lost)
  await warehouse.run('DELETE FROM account.walk_drop; DELETE FROM account.walk_cycle')
  return reach === null || reach === 'all' ? reach : changeOf(warehouse)
}

/**
 * Everything in scope is read, placed, balanced and written.
 * @returns what is written down for fires that nobody knows, and may have been looked up or forgotten.
 */
async function accountWithin(warehouse: Warehouse, reach: Reach | 'all'): Promise<Set<string>> {
  if (reach === 'all') await balanceAll(warehouse)
  else await balanceSome(warehouse, reach)
  await stage(warehouse, 'recount')
  const before = await lostTexts(warehouse)
  await stage(warehouse, 'fire-texts')
  await resolveFires(warehouse)
  await stage(warehouse, 'stage-fire')
  await stage(warehouse, 'scoped-drops')
  await stage(warehouse, 'scoped-places')
  const isMuch = await warehouse.value<boolean>('SELECT is_much()')
  await stage(warehouse, isMuch ? 'same-events' : 'no-same-events')
  await stage(warehouse, 'write-events')
  if (reach !== 'all') await stage(warehouse, 'forget-fires')
  return new Set([...before, ...(await lostTexts(warehouse))])
}

async function balanceAll(warehouse: Warehouse): Promise<void> {
  await setReading(warehouse, 'all')
  await stage(warehouse, 'stage-places')
  await stage(warehouse, 'meter-pairs')
  await keepBiases(warehouse, await fitMeterBias(warehouse))
  await placeAndBalance(warehouse)
}

/**
 * Within the narrowest window after which everything begins as it stands; with nothing written that a wider one would not
 * write again. Where a base is corrected otherwise than before, from the beginning.
 */
async function balanceSome(warehouse: Warehouse, reach: Reach): Promise<void> {
  let isFitted = false
  for await (const window of windowsOf(warehouse, reach)) {
    await setReading(warehouse, window)
    await stage(warehouse, 'stage-places')
    if (!isFitted) {
      const moved = await fitBiases(warehouse)
      if (moved.length > 0) {
        await scopeSome(warehouse, reach.touched, [...reach.tanks, ...moved], null)
        await setReading(warehouse, { cut: beginning })
        await stage(warehouse, 'stage-places')
        return placeAndBalance(warehouse)
      }
      isFitted = true
    }
    await placeAndBalance(warehouse)
    if (window.isSure || (await isSeamless(warehouse, window.end !== undefined))) return
  }
}

/** @returns the tanks that were filled at bases whose correction changes now. */
async function fitBiases(warehouse: Warehouse): Promise<string[]> {
  await stage(warehouse, 'meter-pairs')
  const biases = await fitMeterBias(warehouse)
  const moved = await tanksOfMovedBases(warehouse, biases)
  await keepBiases(warehouse, biases)
  return moved
}

async function placeAndBalance(warehouse: Warehouse): Promise<void> {
  for (const name of ['stage-drop', 'stage-days', 'holders']) await stage(warehouse, name)
  await balance(warehouse)
}

/** Whether all that is outside the window, and stands, rests on nothing that comes out otherwise within it. */
async function isSeamless(warehouse: Warehouse, hasEnd: boolean): Promise<boolean> {
  if (await warehouse.value<boolean>(await warehouse.readStage('account/other-flown'))) return false
  return !hasEnd || (await warehouse.value<boolean>(await warehouse.readStage('account/seam'))) === true
}

/** What is written down for fires that nobody knows, within the window's operating days, as the subjects of findings. */
async function lostTexts(warehouse: Warehouse): Promise<string[]> {
  const rows = await warehouse.rows<{ subject: string }>(
    `SELECT DISTINCT 'fire ' || text || ' ' || season AS subject FROM account.lost_text
     WHERE operating_day >= (cut_day() - INTERVAL 2 DAY)::DATE AND operating_day <= end_day()`,
  )
  return rows.map((row) => row.subject)
}

const beginning = { at: '-infinity', day: '-infinity' }

async function reachAll(warehouse: Warehouse): Promise<'all'> {
  await scopeAll(warehouse)
  await askOf(warehouse, 'all', null)
  await stage(warehouse, 'day-marks')
  return 'all'
}

async function nothingTouched(warehouse: Warehouse): Promise<void> {
  await nameTable(warehouse, 'scope_touched', 'aircraft', [])
  await nameTable(warehouse, 'scope_tank', 'tank', [])
}

async function stage(warehouse: Warehouse, name: string): Promise<void> {
  await warehouse.run(await warehouse.readStage(`account/${name}`))
}

async function homeZone(warehouse: Warehouse): Promise<void> {
  await warehouse.run(
    `CREATE OR REPLACE TEMP TABLE home_zone AS SELECT max(value) AS zone FROM raw.setting
     WHERE name = 'home_zone' AND value IN (SELECT name FROM zone_name)`,
  )
}

/** Tanks filled at a base whose correction changes now: their balances change with it. */
async function tanksOfMovedBases(warehouse: Warehouse, biases: readonly MeterBias[]): Promise<string[]> {
  const standing = await warehouse.rows<{ base: string; applied_pct: number }>(
    'SELECT base, applied_pct FROM account.meter_bias',
  )
  const before = new Map(standing.map((row) => [row.base, row.applied_pct]))
  const after = new Map(biases.map((row) => [row.base, row.applied_pct]))
  const moved = [...new Set([...before.keys(), ...after.keys()])].filter(
    (base) => (before.get(base) ?? 0) !== (after.get(base) ?? 0),
  )
  if (moved.length === 0) return []
  const rows = await warehouse.rows<{ tank: string }>(
    `SELECT DISTINCT tank FROM account.load
     WHERE tank IS NOT NULL AND base IN (SELECT unnest(string_split($list, chr(10)))) ORDER BY tank`,
    { list: moved.join('\n') },
  )
  return rows.map((row) => row.tank)
}

async function keepBiases(warehouse: Warehouse, biases: readonly MeterBias[]): Promise<void> {
  await warehouse.run('DELETE FROM account.meter_bias')
  await warehouse.append('account.meter_bias', {
    base: biases.map((row) => row.base),
    pairs: biases.map((row) => row.pairs),
    bias_pct: biases.map((row) => row.bias_pct),
    low_pct: biases.map((row) => row.low_pct),
    high_pct: biases.map((row) => row.high_pct),
    applied_pct: biases.map((row) => row.applied_pct),
  })
}
