import type { Warehouse } from '../warehouse/index.ts'
import { cutBefore, day_ms, type HolderDay, iso, nightsAfter } from './nights.ts'
import { askOf, type Night, scopeSome, type Window } from './scope.ts'

/** Within which nights the account of the aircraft and tanks in scope is made again. */
export interface Reach {
  touched: string[]
  /** Tanks that were mounted otherwise before, wherever they are now. */
  tanks: string[]
  /** The days on which something changed, in ms; null where mountings did. */
  changed: { first_ms: number; last_ms: number } | null
  /** Null: nothing that could do is near. */
  near: Near | null
}

/**
 * A night shortly before the change, and those after it by which all may be again as it stands, to be tried in turn: none where
 * so little is on record after the change that to make it again is less work than to try.
 */
interface Near {
  cut: Night
  ends: Night[]
  /** Nothing at all is on record so long after the change that it was not looked at. */
  isLast: boolean
}

/**
 * What an update made again: everything, or the account of these aircraft and tanks: events from a moment until another, and what they
 * count from a moment on (UTC, as ISO text). The latter is the beginning where older openings that were inferred are counted anew.
 */
export type Change =
  | 'all'
  | null
  | { aircraft: string[]; tanks: string[]; since: string; until: string; from: string }

const everBefore = '0001-01-01 00:00:00'
const everAfter = '9999-12-31 00:00:00'

/** The change that the scope stands for. */
export async function changeOf(warehouse: Warehouse): Promise<Change> {
  const aircraft = await warehouse.rows<{ aircraft: string }>(
    'FROM scope_touched UNION SELECT aircraft FROM scope_aircraft ORDER BY aircraft',
  )
  const tanks = await warehouse.rows<{ tank: string }>('FROM scope_tank ORDER BY tank')
  const since =
    (await warehouse.value<string>('SELECT cut_at()::VARCHAR WHERE NOT isinf(cut_at())')) ?? everBefore
  const until =
    (await warehouse.value<string>('SELECT end_at()::VARCHAR WHERE NOT isinf(end_at())')) ?? everAfter
  const isRecounted = await warehouse.value<boolean>('SELECT EXISTS (FROM recounted)')
  return {
    aircraft: aircraft.map((row) => row.aircraft),
    tanks: tanks.map((row) => row.tank),
    since,
    until,
    from: isRecounted ? everBefore : since,
  }
}

/**
 * Compares what the ledger says of some aircraft with what the account was made from, keeps the new marks, and sets the
 * scope, with the days that changed fires bear on (`fire_day`). A tank mounted otherwise than before (`changed_mounting`) is
 * made again from the beginning, with all aircraft that ever carried it. Null when nothing changed.
 */
export async function reachOf(
  warehouse: Warehouse,
  aircraft: readonly string[],
  since: string | null = null,
): Promise<Reach | null> {
  await askOf(warehouse, aircraft, since)
  await warehouse.run(await warehouse.readStage('account/day-marks'))
  await warehouse.run('INSERT INTO changed_day FROM fire_day EXCEPT FROM changed_day')
  const changed = await warehouse.rows<{ aircraft: string; first_ms: number; last_ms: number }>(
    `SELECT aircraft, epoch_ms(min(day)::TIMESTAMP) AS first_ms, epoch_ms(max(day)::TIMESTAMP + INTERVAL 1 DAY) AS last_ms
     FROM changed_day GROUP BY aircraft ORDER BY aircraft`,
  )
  const remounted = await warehouse.rows<{ aircraft: string; tank: string }>(
    'SELECT aircraft, tank FROM changed_mounting ORDER BY aircraft, tank',
  )
  if (changed.length === 0 && remounted.length === 0) return null
  const touched = [...new Set([...changed, ...remounted].map((row) => row.aircraft))].sort()
  if (remounted.length > 0) {
    const tanks = [...new Set(remounted.map((row) => row.tank))]
    return { touched, tanks, changed: null, near: null }
  }
  const span = {
    first_ms: Math.min(...changed.map((row) => row.first_ms)),
    last_ms: Math.max(...changed.map((row) => row.last_ms)),
  }
  return { touched, tanks: [], changed: span, near: await nearOf(warehouse, touched, span) }
}

/** Days before a change in which a night is looked for, few first, and days after it. */
const before_days = [5, 45] as const
const after_days = 9

async function nearOf(
  warehouse: Warehouse,
  touched: readonly string[],
  { first_ms, last_ms }: { first_ms: number; last_ms: number },
): Promise<Near | null> {
  const until = iso(last_ms + after_days * day_ms)
  for (const days of before_days) {
    const from = iso(first_ms - days * day_ms)
    await scopeSome(warehouse, touched, [], from)
    const found = await holderDays(warehouse, from, { first_ms, last_ms }, until)
    const cut = cutBefore(found, from.slice(0, 10), first_ms, false)
    if (!cut) continue
    const isLast = await warehouse.value<boolean>(
      `SELECT NOT EXISTS (FROM account.day_mark WHERE day >= TIMESTAMP '${until}'::DATE - 1 AND is_kin(aircraft))`,
    )
    return { cut, ends: isLast ? [] : nightsAfter(found, cut, last_ms), isLast: isLast === true }
  }
  return null
}

async function holderDays(
  warehouse: Warehouse,
  from: string,
  { first_ms, last_ms }: { first_ms: number; last_ms: number },
  until: string | null,
): Promise<HolderDay[]> {
  await warehouse.run(
    `CREATE OR REPLACE TEMP MACRO asked_day() AS DATE '${from.slice(0, 10)}';
     CREATE OR REPLACE TEMP MACRO asked_until() AS TIMESTAMP '${until ?? 'infinity'}';
     CREATE OR REPLACE TEMP MACRO changed_at() AS TIMESTAMP '${iso(first_ms)}';
     CREATE OR REPLACE TEMP MACRO changed_until() AS TIMESTAMP '${iso(last_ms)}'`,
  )
  await warehouse.run(
    await warehouse.readStage(until === null ? 'account/older-seasons' : 'account/older-fills'),
  )
  return warehouse.rows<HolderDay>(await warehouse.readStage('account/holder-days'))
}

/**
 * The windows within which the account may be made again, narrow ones first; of each but the last it is to be seen whether it
 * will do. The scope is set for each.
 */
export async function* windowsOf(
  warehouse: Warehouse,
  reach: Reach,
): AsyncGenerator<Window & { isSure: boolean }> {
  if (reach.near) {
    const { cut, ends, isLast } = reach.near
    for (const end of ends) {
      const rows = await warehouse.rows<{ load: string | null; loaded_at: string }>(
        await warehouse.readStage('account/loads-after'),
        { end: end.at },
      )
      if (rows.some((row) => row.load === null)) continue
      const loads = rows.map((row) => String(row.load))
      const lastLoad =
        rows
          .map((row) => row.loaded_at)
          .sort()
          .at(-1) ?? end.at
      yield { cut, end: { ...end, loads, lastLoad }, isSure: false }
    }
    if (isLast) yield { cut, isSure: false }
  }
  yield { cut: (await farCut(warehouse, reach)) ?? { at: '-infinity', day: '-infinity' }, isSure: true }
}

/** A night before the change, from which on everything is made again; null: none, it must be done from the beginning. */
async function farCut(warehouse: Warehouse, { touched, tanks, changed }: Reach): Promise<Night | null> {
  if (changed) {
    for (const days of [before_days[1], 400]) {
      const from = iso(changed.first_ms - days * day_ms)
      await scopeSome(warehouse, touched, [], from)
      const cut = await findCut(warehouse, from, changed)
      if (cut) return cut
    }
  }
  await scopeSome(warehouse, touched, tanks, null)
  return null
}

async function findCut(
  warehouse: Warehouse,
  from: string,
  changed: { first_ms: number; last_ms: number },
): Promise<Night | null> {
  const days = await holderDays(warehouse, from, changed, null)
  const unflown = await warehouse.value<boolean>(
    `SELECT EXISTS ((SELECT aircraft FROM ledger.flight WHERE is_touched(aircraft))
       EXCEPT SELECT aircraft FROM account.flight WHERE is_touched(aircraft))`,
  )
  return unflown ? null : cutBefore(days, from.slice(0, 10), changed.first_ms, true)
}
