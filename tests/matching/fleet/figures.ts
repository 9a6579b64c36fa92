import { account } from '../../../src/account/index.ts'
import { fullSchema } from '../../../src/commands/schema.ts'
import { match } from '../../../src/matching/index.ts'
import { Warehouse } from '../../../src/warehouse/index.ts'
import { put } from '../house.ts'
import { scoreOf, type Told } from '../season.ts'
import { type Fleet, firstDay, type Happening } from './operations.ts'

export interface Figures {
  /** Of pairs of lines that tell of one drop. */
  readonly f1: number
  readonly pairs: number
  /** Share of `fire` drops on record that stand at their true fire. */
  readonly attribution: number
  readonly drops: number
  /** Share of tank-days whose openings, counted and inferred, are the true ones. */
  readonly openings: number
  readonly tankDays: number
}

const day = 86_400

/** A season matched and accounted for in a warehouse, held against what happened. */
export async function figuresOf(fleet: Fleet, told: readonly Told[]): Promise<Figures> {
  const warehouse = await Warehouse.memory(fullSchema)
  try {
    await register(warehouse, fleet)
    const sources = [...new Set(told.map((line) => line.source))]
    for (const [place, source] of sources.entries()) {
      const lines = told.filter((line) => line.source === source).map(({ obsNo: _, ...line }) => line)
      await put(warehouse, lines, place + 2)
    }
    const numbered = new Map<number, Told>()
    for (const [place, source] of sources.entries()) {
      const lines = told.filter((line) => line.source === source)
      for (const [index, line] of lines.entries()) {
        const obsNo = (place + 2) * 2 ** 32 + (index + 2) * 16
        numbered.set(obsNo, { ...line, obsNo })
      }
    }
    await match(warehouse, 'all')
    await account(warehouse, 'all')
    const links = await warehouse.rows<{ id: string; obs_no: number }>(
      `SELECT id, obs_no FROM ledger.attestation WHERE kind = 'drop' ORDER BY id, place`,
    )
    const events = new Map<string, number[]>()
    for (const link of links) events.set(link.id, [...(events.get(link.id) ?? []), link.obs_no])
    const score = scoreOf([...numbered.values()], events, 'drop')
    return {
      f1: score.f1,
      pairs: score.truePairs,
      ...(await attributionOf(warehouse, fleet, events, numbered)),
      ...(await openingsOf(warehouse, fleet)),
    }
  } finally {
    await warehouse.close()
  }
}

async function attributionOf(
  warehouse: Warehouse,
  fleet: Fleet,
  events: ReadonlyMap<string, readonly number[]>,
  numbered: ReadonlyMap<number, Told>,
): Promise<{ attribution: number; drops: number }> {
  const happened = new Map(fleet.happenings.map((item) => [item.number, item]))
  const rows = await warehouse.rows<{ drop: string; fire: string | null }>(
    'SELECT "drop", fire FROM account."drop" ORDER BY 1',
  )
  let [right, drops] = [0, 0]
  for (const row of rows) {
    const truth = happened.get(numbered.get(events.get(row.drop)![0]!)!.truth[0]!)!
    if (truth.fire === null) continue
    drops++
    if (row.fire === truth.fire.number) right++
  }
  return { attribution: right / drops, drops }
}

async function openingsOf(
  warehouse: Warehouse,
  fleet: Fleet,
): Promise<{ openings: number; tankDays: number }> {
  const apart = new Map<string, number>()
  const count = (tank: string, on: number, by: number): void => {
    apart.set(`${tank} ${on}`, (apart.get(`${tank} ${on}`) ?? 0) + by)
  }
  for (const item of fleet.happenings)
    if (item.kind === 'drop')
      count(`T-${item.aircraft}`, Math.floor((item.at - firstDay - 8 * 3600) / day), 1)
  const rows = await warehouse.rows<{ tank: string; second: number; openings: number }>(
    'SELECT tank, epoch(happened_at) AS second, openings FROM account.opening ORDER BY ALL',
  )
  // Nobody flies between 8 and 15 h UTC: a day of operations lies between.
  for (const row of rows) count(row.tank, Math.floor((row.second - firstDay - 8 * 3600) / day), -row.openings)
  const wrong = [...apart.values()].filter((difference) => difference !== 0).length
  return { openings: 1 - wrong / apart.size, tankDays: apart.size }
}

async function register(warehouse: Warehouse, fleet: Fleet): Promise<void> {
  let line = 0
  const add = async (kind: string, rows: readonly Record<string, string | number>[]): Promise<void> => {
    const names = Object.keys(rows[0]!)
    const times = names.filter((name) => name.endsWith('_at'))
    await warehouse.append(`obs.${kind}`, {
      obs_no: rows.map(() => 2 ** 32 + 16 * (2 + line++)),
      file_no: rows.map(() => 1),
      fate: rows.map(() => 'accepted'),
      ...Object.fromEntries(
        names.map((name) => [
          name,
          rows.map((row) => (times.includes(name) ? Number(row[name]) * 1000 : row[name]!)),
        ]),
      ),
    })
  }
  const planes = fleet.aircraft
  await add(
    'aircraft',
    planes.map((one) => ({ registration: one.registration, max_load_gal: one.capacity })),
  )
  await add(
    'tank',
    planes.map((one) => ({ serial: `T-${one.registration}`, capacity_gal: one.capacity, doors: 4 })),
  )
  await add(
    'mounting',
    planes.map((one) => ({
      tank: `T-${one.registration}`,
      aircraft: one.registration,
      on_at: firstDay - day,
    })),
  )
  await add(
    'base',
    fleet.bases.map(({ code, latitude, longitude }) => ({
      code,
      latitude,
      longitude,
      zone: 'America/Los_Angeles',
    })),
  )
  await add(
    'fire',
    fleet.fires.map((fire) => ({
      number: fire.number,
      name: fire.name,
      latitude: fire.latitude,
      longitude: fire.longitude,
      started_at: firstDay + fire.firstDay * day,
      ended_at: firstDay + (fire.lastDay + 1) * day,
    })),
  )
}

/** Days on which somebody flew. */
export function daysOf(happenings: readonly Happening[]): ReadonlyMap<number, number> {
  return new Map(happenings.map((item) => [item.number, item.day]))
}
