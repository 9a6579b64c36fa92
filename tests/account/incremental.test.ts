import { afterAll, beforeAll, expect, test } from 'vitest'
import { account } from '../../src/account/index.ts'
import type { Row, Warehouse } from '../../src/warehouse/index.ts'
import { compute, emptyWarehouse, happened, register } from './fixture.ts'
import { fillLedger } from './many.ts'

const tables = [
  '"drop"',
  'load',
  'flight',
  'offload',
  'cycle',
  'bare_cycle',
  'fire_text',
  'meter_bias',
  'meter_pair',
  'day_mark',
  'base_name',
  'fire',
  'finding',
]
let w: Warehouse

beforeAll(async () => {
  w = await emptyWarehouse()
  await fillLedger(w, { aircraft: 6, days: 30, loadsADay: 4 })
  await w.run(
    "UPDATE ledger.load SET base_text = 'Bse Two' WHERE base_text = 'B2' AND loaded_at::DATE = DATE '2021-06-12'",
  )
  await compute(w)
}, 120_000)
afterAll(() => w.close())

/** A text of every row of every table, sorted; doubles as their exact shortest form. */
async function picture(): Promise<Record<string, string[]>> {
  const out: Record<string, string[]> = {}
  for (const table of tables) {
    const rows = await w.rows<Row>(`SELECT t::VARCHAR AS text FROM account.${table} t ORDER BY 1`)
    out[table] = rows.map((row) => String(row.text))
  }
  return out
}

const lessThan = (a: string[], b: string[]): string[] => {
  const there = new Set(b)
  return a.filter((row) => !there.has(row))
}

/** Brings some aircraft up to date, and holds every table against a computation of everything. */
async function bringUp(...aircraft: string[]): Promise<void> {
  await compute(w, { aircraft })
  const night = await picture()
  await compute(w, 'all')
  const whole = await picture()
  for (const table of tables) {
    expect(lessThan(night[table]!, whole[table]!), `${table}: only after the update`).toEqual([])
    expect(lessThan(whole[table]!, night[table]!), `${table}: only after the whole`).toEqual([])
    expect(night[table]!.length, table).toBe(whole[table]!.length)
  }
}

/** The operating days that the last update made again begin here; null: from the beginning. */
const cutDay = async (): Promise<string | null> => {
  const day = String(await w.value('SELECT cut_day()::VARCHAR'))
  return day === '-infinity' ? null : day
}

test('the same again changes nothing', async () => {
  const before = await picture()
  expect(before['"drop"']!.length).toBeGreaterThan(1000)
  await compute(w, { aircraft: ['N101ZY'] })
  expect(await picture()).toEqual(before)
})

const on = (aircraft: string, time: string, day: string): string =>
  `WHERE aircraft = '${aircraft}' AND ${time}::DATE = DATE '${day}'`

const changes: [string, string, string[]][] = [
  [
    'drops and flights withdrawn, volumes and fires corrected',
    `DELETE FROM ledger."drop" ${on('N103ZY', 'dropped_at', '2022-06-12')} AND hash("drop") % 5 = 0;
     UPDATE ledger."drop" SET volume_gal = 777.7, fire_text = 'creak 3' ${on('N103ZY', 'dropped_at', '2022-06-12')};
     UPDATE ledger."drop" SET volume_gal = volume_gal + 3 ${on('N102ZY', 'dropped_at', '2022-06-13')};
     DELETE FROM ledger.flight ${on('N104ZY', 'off_at', '2022-06-13')} AND hash(flight) % 2 = 0`,
    ['N102ZY', 'N103ZY', 'N104ZY'],
  ],
  [
    'all flights of a season withdrawn',
    `DELETE FROM ledger.flight WHERE aircraft = 'N101ZY' AND year(off_at) = 2023`,
    ['N101ZY'],
  ],
  [
    'a whole day and loads withdrawn, bases unknown',
    `DELETE FROM ledger."drop" ${on('N100ZY', 'dropped_at', '2022-06-14')};
     DELETE FROM ledger.load ${on('N100ZY', 'loaded_at', '2022-06-14')};
     DELETE FROM ledger.flight ${on('N100ZY', 'off_at', '2022-06-14')};
     DELETE FROM ledger.load ${on('N105ZY', 'loaded_at', '2022-06-14')} AND hash(load) % 3 = 0;
     UPDATE ledger.load SET base_text = NULL ${on('N101ZY', 'loaded_at', '2022-06-13')};
     UPDATE ledger.flight SET from_base_text = NULL, to_base_text = NULL ${on('N101ZY', 'off_at', '2022-06-13')}`,
    ['N100ZY', 'N101ZY', 'N105ZY'],
  ],
  [
    'volumes unknown the evening before',
    `UPDATE ledger."drop" SET volume_gal = NULL, fraction = NULL ${on('N101ZY', 'dropped_at', '2023-06-12')};
     UPDATE ledger.load SET gauge_before_gal = NULL, gauge_after_gal = NULL ${on('N101ZY', 'loaded_at', '2023-06-13')}`,
    ['N101ZY'],
  ],
  [
    'the day after it',
    `UPDATE ledger."drop" SET volume_gal = volume_gal + 1 ${on('N101ZY', 'dropped_at', '2023-06-14')}`,
    ['N101ZY'],
  ],
  [
    'the last day of all, and positions that cannot be',
    `UPDATE ledger."drop" SET volume_gal = NULL, fraction = NULL ${on('N101ZY', 'dropped_at', '2024-06-15')};
     UPDATE ledger."drop" SET latitude = 49, longitude = -110 ${on('N103ZY', 'dropped_at', '2024-06-14')} AND hash("drop") % 2 = 0`,
    ['N101ZY', 'N103ZY'],
  ],
  [
    'the first day of all',
    `UPDATE ledger."drop" SET volume_gal = 1.5 * volume_gal ${on('N102ZY', 'dropped_at', '2020-06-10')}`,
    ['N102ZY'],
  ],
  [
    'a base whose meter reads otherwise',
    `UPDATE ledger.load SET meter_gal = meter_gal * 1.02, volume_gal = volume_gal * 1.02 WHERE base_text = 'B3'`,
    ['N103ZY'],
  ],
]

test.each(changes)(
  '%s: an update gives the same account as computing everything',
  async (_, change, aircraft) => {
    await w.run(change)
    await bringUp(...aircraft)
  },
  120_000,
)

test('a late day is made again from the night before it, not from the beginning', async () => {
  await w.run(
    `UPDATE ledger."drop" SET volume_gal = volume_gal + 1 ${on('N105ZY', 'dropped_at', '2022-06-13')}`,
  )
  await compute(w, { aircraft: ['N105ZY'] })
  const day = await cutDay()
  expect(day).not.toBeNull()
  expect(day! >= '2022-06-10' && day! <= '2022-06-13', day!).toBe(true)
  await bringUp('N105ZY')
})

test('what did not change before a day is not asked of the ledger: names unknown since are told by season', async () => {
  await w.run(
    `UPDATE ledger."drop" SET fire_text = 'nowhere ' || (hash("drop") % 2) ${on('N104ZY', 'dropped_at', '2023-06-13')};
     UPDATE ledger."drop" SET fire_text = 'nowhere 0' ${on('N104ZY', 'dropped_at', '2021-06-12')} AND hash("drop") % 3 = 0`,
  )
  await bringUp('N104ZY')
  await w.run(
    `UPDATE ledger."drop" SET fire_text = NULL ${on('N104ZY', 'dropped_at', '2023-06-13')} AND hash("drop") % 4 = 0;
     UPDATE ledger."drop" SET fire_text = 'nowhere 2' ${on('N104ZY', 'dropped_at', '2023-06-13')} AND hash("drop") % 4 = 1;
     DELETE FROM ledger."drop" ${on('N104ZY', 'dropped_at', '2023-06-14')} AND hash("drop") % 4 = 2`,
  )
  await compute(w, { aircraft: ['N104ZY'], since: '2023-06-13' })
  const night = await picture()
  await compute(w, 'all')
  expect(night).toEqual(await picture())
  expect(night.finding!.filter((row) => row.includes('nowhere'))).toHaveLength(4)
}, 120_000)

test('a carried load, a new aircraft and one without a tank are followed to where they began', async () => {
  const ticket = {
    base_text: 'B1',
    volume_gal: 2000,
    meter_gal: 2000,
    fluid: 'retardant',
    witnesses: ['ticket'],
  }
  await happened(w, 'load', [
    { aircraft: 'N102ZY', loaded_at: '2023-06-13T05:30:00', ...ticket },
    { aircraft: 'N700ZY', loaded_at: '2023-06-12T18:00:00', ...ticket },
  ])
  await happened(w, 'drop', [
    { aircraft: 'N102ZY', dropped_at: '2023-06-13T14:20:00', volume_gal: 900, purpose: 'jettison' },
    { aircraft: 'N700ZY', dropped_at: '2023-06-12T18:20:00', fraction: 0.5 },
  ])
  await bringUp('N102ZY', 'N700ZY')
  await happened(w, 'drop', [{ aircraft: 'N700ZY', dropped_at: '2023-06-20T18:20:00', fraction: 0.75 }])
  await w.run(
    `UPDATE ledger."drop" SET volume_gal = 850 WHERE aircraft = 'N102ZY' AND dropped_at = TIMESTAMP '2023-06-13 14:20:00'`,
  )
  await bringUp('N102ZY', 'N700ZY')
}, 120_000)

/** What intake says when a registry kind has new rows. */
const changedKind = (kind: string): Promise<void> =>
  w.run(`DELETE FROM obs.registry_changed; INSERT INTO obs.registry_changed VALUES ('${kind}')`)

const signs = (): Promise<number | null> =>
  w.value<number>(`SELECT count(*) FROM account."drop" WHERE position_trouble = 'sign'`)

const atNorth = `number = 'ID-2022-3'`
const fireChanges: [string, () => Promise<void>][] = [
  [
    'a new fire beside others, that some texts may mean',
    () =>
      register(w, 'fire', [
        {
          number: 'ID-2022-77',
          name: 'Creek 7 7',
          latitude: 41.02,
          longitude: -118.01,
          started_at: '2022-06-12T08:00:00',
          radius_nm: 2,
        },
      ]),
  ],
  [
    'a fire that ends sooner',
    () => w.run(`UPDATE obs.fire SET ended_at = TIMESTAMP '2022-06-08' WHERE ${atNorth}`),
  ],
  [
    'a fire elsewhere, with another name and a wider reach',
    () => w.run(`UPDATE obs.fire SET latitude = 43.05, radius_nm = 30, name = 'Ridge' WHERE ${atNorth}`),
  ],
  ['a fire withdrawn', () => w.run(`UPDATE obs.fire SET fate = 'superseded' WHERE number = 'ID-2023-4'`)],
  [
    'a number that had been written down before it was on record',
    async () => {
      await w.run(`UPDATE obs.fire SET number = 'ID-2023-905' WHERE number = 'ID-2023-5'`)
    },
  ],
  [
    'a fire far out, that makes positions without their sign possible',
    async () => {
      await w.run(
        `UPDATE ledger."drop" SET longitude = 118 ${on('N102ZY', 'dropped_at', '2023-06-13')} AND latitude IS NOT NULL`,
      )
      await compute(w, { aircraft: ['N102ZY'] })
      expect(await signs()).toBeGreaterThan(0)
      await register(w, 'fire', [
        {
          number: 'FAR-1',
          name: 'Far',
          latitude: 42,
          longitude: 115,
          started_at: '2020-06-01T00:00:00',
          ended_at: '2020-06-02T00:00:00',
        },
      ])
    },
  ],
  ['a fire of no season, at no place', () => register(w, 'fire', [{ number: 'creek 12', name: 'Creek' }])],
]

test.each(fireChanges)(
  '%s: only what it bears on is made again, and all is as if it had been there from the beginning',
  async (_, change) => {
    await change()
    await changedKind('fire')
    const made = await account(w, { aircraft: [] })
    expect(made).toMatchObject({ from: expect.any(String) })
    await bringUp()
    await w.run('DELETE FROM obs.registry_changed')
  },
  120_000,
)

test('a new fire that nobody dropped near leaves everything as it stands', async () => {
  await register(w, 'fire', [
    { number: 'LONE-1', name: 'Lonely', latitude: 45, longitude: -125, started_at: '2024-06-11T00:00:00' },
  ])
  await changedKind('fire')
  expect(await account(w, { aircraft: [] })).toBeNull()
  await bringUp()
}, 120_000)

const mountingChanges: [string, () => Promise<void>][] = [
  [
    'a tank put on another aircraft in mid-season',
    () => register(w, 'mounting', [{ tank: 'K-1', aircraft: 'N103ZY', on_at: '2023-06-13T00:00:00' }]),
  ],
  [
    'a mounting that had been written down for the wrong tank',
    () => w.run(`UPDATE obs.mounting SET tank = 'K-5' WHERE tank = 'K-1' AND aircraft = 'N103ZY'`),
  ],
  ['a mounting withdrawn', () => w.run(`UPDATE obs.mounting SET fate = 'superseded' WHERE tank = 'K-2'`)],
]

test.each(mountingChanges)(
  '%s: only those that carried it are made again, and all is as if it had been so from the beginning',
  async (_, change) => {
    await change()
    await changedKind('mounting')
    const made = await account(w, { aircraft: [] })
    expect((made as { aircraft: string[] }).aircraft.length).toBeLessThan(6)
    await bringUp()
    await w.run('DELETE FROM obs.registry_changed')
  },
  120_000,
)

test('sums over fires and over bases are the totals, and hours are all airborne hours', async () => {
  const [sums] = await w.rows<Record<string, number>>(`
    SELECT (SELECT fsum(flight_hours) FROM account."drop" WHERE purpose = 'fire') AS shared,
      (SELECT fsum(airborne_hours) FROM account.flight WHERE is_mission) AS mission,
      (SELECT count(*) FROM account."drop") AS drops, (SELECT count(*) FROM ledger."drop") AS known,
      (SELECT fsum(dropped_gal) FROM account.cycle) AS walked,
      (SELECT fsum(volume_gal) FROM account."drop" WHERE tank IS NOT NULL) AS dropped`)
  expect(sums!.shared).toBeCloseTo(sums!.mission!, 8)
  expect(sums!.drops).toBe(sums!.known)
  expect(Math.abs(sums!.walked! / sums!.dropped! - 1)).toBeLessThan(1e-12)
})

test('an update says what it made again, and from when on', async () => {
  await w.run(
    `UPDATE ledger."drop" SET volume_gal = volume_gal + 1 ${on('N105ZY', 'dropped_at', '2020-06-10')}`,
  )
  const early = await account(w, { aircraft: ['N105ZY'] })
  expect(String((early as { from: string }).from) <= '2020-06-10 00:00:00', JSON.stringify(early)).toBe(true)
  await w.run(
    `UPDATE ledger."drop" SET latitude = latitude + 0.001 ${on('N105ZY', 'dropped_at', '2024-06-14')}`,
  )
  const late = await account(w, { aircraft: ['N105ZY'] })
  expect(late).toMatchObject({
    aircraft: expect.arrayContaining(['N105ZY']),
    tanks: ['K-4'],
  })
  expect(String((late as { from: string }).from) > '2024-06-01', JSON.stringify(late)).toBe(true)
  expect(await account(w, { aircraft: ['N105ZY'] })).toBeNull()
}, 120_000)
