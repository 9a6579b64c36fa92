import type { Warehouse } from '../warehouse/index.ts'
import { askOf, scopeSome } from './scope.ts'

/** From where on the account of the aircraft and tanks in scope is made again: a moment, and its operating day. */
export interface Reach {
  touched: string[]
  /** Tanks that were mounted otherwise before, wherever they are now. */
  tanks: string[]
  /** Null: from the beginning. */
  cut: { at: string; day: string } | null
}

/**
 * What an update made again: everything, or the account of these aircraft and tanks: events since a moment, and what they count from
 * a moment on (UTC, as ISO text). The latter is the beginning where older openings that were inferred are counted anew.
 */
export type Change = 'all' | null | { aircraft: string[]; tanks: string[]; since: string; from: string }

const everBefore = '0001-01-01 00:00:00'

/** The change that the scope stands for. */
export async function changeOf(warehouse: Warehouse): Promise<Change> {
  const aircraft = await warehouse.rows<{ aircraft: string }>(
    'FROM scope_touched UNION SELECT aircraft FROM scope_aircraft ORDER BY aircraft',
  )
  const tanks = await warehouse.rows<{ tank: string }>('FROM scope_tank ORDER BY tank')
  const since =
    (await warehouse.value<string>('SELECT cut_at()::VARCHAR WHERE NOT isinf(cut_at())')) ?? everBefore
  const isRecounted = await warehouse.value<boolean>('SELECT EXISTS (FROM recounted)')
  return {
    aircraft: aircraft.map((row) => row.aircraft),
    tanks: tanks.map((row) => row.tank),
    since,
    from: isRecounted ? everBefore : since,
  }
}

/** One operating day of an aircraft, a tank, or the fluid of an aircraft without a tank, as it stands; times in ms. */
export interface HolderDay {
  kind: 'aircraft' | 'tank' | 'bare'
  holder: string
  season: string
  day: string
  /** Null, both, where all of it is older than what is looked at. */
  first_ms: number | null
  last_ms: number | null
  /** What the fluid did first: 0 went in; null when nothing is on record. */
  first_step: number | null
  last_load_ms: number | null
  has_earlier: boolean
  has_load: boolean
  has_flight: boolean
  is_changed: boolean
}

const quiet_ms = 6 * 3_600_000
const day_ms = 86_400_000

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
  const changed = await warehouse.rows<{ aircraft: string; first_ms: number }>(
    'SELECT aircraft, epoch_ms(min(day)::TIMESTAMP) AS first_ms FROM changed_day GROUP BY aircraft ORDER BY aircraft',
  )
  const remounted = await warehouse.rows<{ aircraft: string; tank: string }>(
    'SELECT aircraft, tank FROM changed_mounting ORDER BY aircraft, tank',
  )
  if (changed.length === 0 && remounted.length === 0) return null
  const touched = [...new Set([...changed, ...remounted].map((row) => row.aircraft))].sort()
  if (remounted.length > 0) {
    const tanks = [...new Set(remounted.map((row) => row.tank))]
    await scopeSome(warehouse, touched, tanks, null)
    return { touched, tanks, cut: null }
  }
  const changed_ms = Math.min(...changed.map((row) => row.first_ms))
  for (const days of [45, 400]) {
    const from = changed_ms - days * day_ms
    await scopeSome(warehouse, touched, [], iso(from))
    const cut = await findCut(warehouse, from, changed_ms)
    if (cut) return { touched, tanks: [], cut }
  }
  await scopeSome(warehouse, touched, [], null)
  return { touched, tanks: [], cut: null }
}

async function findCut(warehouse: Warehouse, from_ms: number, changed_ms: number): Promise<Reach['cut']> {
  await warehouse.run(
    `CREATE OR REPLACE TEMP MACRO asked_day() AS DATE '${iso(from_ms).slice(0, 10)}';
     CREATE OR REPLACE TEMP MACRO changed_at() AS TIMESTAMP '${iso(changed_ms)}'`,
  )
  const days = await warehouse.rows<HolderDay>(await warehouse.readStage('account/holder-days'))
  const unflown = await warehouse.value<boolean>(
    `SELECT EXISTS ((SELECT aircraft FROM ledger.flight WHERE is_touched(aircraft))
       EXCEPT SELECT aircraft FROM account.flight WHERE is_touched(aircraft))`,
  )
  if (unflown) return null
  return cutBefore(days, iso(from_ms).slice(0, 10), changed_ms)
}

/**
 * The latest moment before a change from which on everything can be made again by itself: a night with nothing in the air
 * for six hours before it, between operating days, after which each aircraft and tank is filled before anything leaves it,
 * and each that changed is filled at least once more before the change. Days until `from` count as one. Null without any.
 */
export function cutBefore(days: readonly HolderDay[], from: string, changed_ms: number): Reach['cut'] {
  const holders = new Map<string, HolderDay[]>()
  for (const one of days) {
    const key = `${one.kind} ${one.holder}`
    const list = holders.get(key)
    if (list) list.push(one)
    else holders.set(key, [one])
  }
  const lists = [...holders.values()]
  const candidates = [...new Set(days.map((one) => one.day)), iso(changed_ms).slice(0, 10)]
    .filter((day) => day > from)
    .sort()
    .reverse()
  for (const day of new Set(candidates)) {
    const at = days.reduce(
      (least, one) => (one.day >= day ? Math.min(least, one.first_ms ?? least) : least),
      changed_ms,
    )
    if (!lists.every((list) => isCleanAt(list, day, at))) continue
    // What came now may lie before every day that stands after the cut: its own days are made again, too.
    const own = iso(at).slice(0, 10)
    return { at: iso(at), day: [day, own].sort()[0]! }
  }
  return null
}

function isCleanAt(list: readonly HolderDay[], day: string, at: number): boolean {
  const before = list.filter((one) => one.day < day)
  const after = list.filter((one) => one.day >= day)
  if (before.some((one) => (one.last_ms ?? Number.NEGATIVE_INFINITY) + quiet_ms > at)) return false
  const fluid = after.filter((one) => one.first_step !== null)
  const first = fluid.reduce<HolderDay | null>((a, b) => (a && a.day <= b.day ? a : b), null)
  if (first && first.first_step !== 0) return false
  const [any] = list
  if (!any?.is_changed) return true
  const isKnown = list.some((one) => one.has_earlier)
  if (isKnown && !list.some((one) => one.last_load_ms !== null && one.last_load_ms >= at)) return false
  if (any.kind !== 'aircraft' || !list.some((one) => one.has_flight)) return true
  const last = before.at(-1)?.season
  const seasons = new Set([...after.map((one) => one.season), ...(last ? [last] : [])])
  return [...seasons].every((season) => {
    const own = before.filter((one) => one.season === season)
    return own.every((one) => !one.has_load) || own.some((one) => one.has_flight)
  })
}

const iso = (ms: number): string => new Date(ms).toISOString().slice(0, 23)
