import { rm } from 'node:fs/promises'
import { afterAll, expect, test } from 'vitest'
import { fullSchema } from '../../src/commands/schema.ts'
import { ingest, rebuildObservations, typeAgain } from '../../src/intake/index.ts'
import { Warehouse } from '../../src/warehouse/index.ts'
import { folderOf } from './folder.ts'

const folders: string[] = []
afterAll(async () => {
  for (const folder of folders) await rm(folder, { recursive: true, force: true })
})

const planes = {
  'aircraft.csv': 'registration\nN801ZY\n',
  'tank.csv': 'serial,capacity_gal,doors\nK-1,3000,2\n',
}
const mounting = { 'mounting.csv': 'tank,aircraft,on_at\nK-1,N801ZY,2026-05-01T00:00:00Z\n' }
const bases = { 'base.csv': 'code,name,zone\nB1,Base One,America/Los_Angeles\n' }
/** Record numbers that begin anew each local day: in UTC an evening and the next morning are one day. */
const eveningAndMorning = (evening: string, morning: string) => ({
  'drop.csv': `dropped_at,aircraft,volume_gal,witness,record
2026-07-11T${evening}:20:00Z,N801ZY,1500,controller,2
2026-07-11T${evening}:29:00Z,N801ZY,1450,controller,3
2026-07-11T${morning}:20:00Z,N801ZY,1480,controller,2
2026-07-11T${morning}:31:00Z,N801ZY,1510,controller,3
`,
  'load.csv': `loaded_at,aircraft,base,volume_gal,witness,record,gauge_before_gal,gauge_after_gal
2026-07-11T${evening}:02:00Z,N801ZY,B1,2990,controller,1,10,3000
2026-07-11T${morning}:02:00Z,N801ZY,B1,2990,controller,1,10,3000
`,
})
type Files = Record<string, string>

/** What stands after these arrivals, each a run of its own; a rebuild must give the same rows and keys. */
async function standing(arrivals: readonly Files[], homeZone?: string) {
  const warehouse = await Warehouse.memory(fullSchema)
  for (const files of arrivals) {
    const folder = await folderOf(files)
    folders.push(folder)
    await ingest(warehouse, [folder], [], { now: () => new Date('2026-09-01'), keep: async () => null })
  }
  if (homeZone !== undefined) {
    await warehouse.run(`INSERT INTO raw.setting VALUES ('home_zone', '${homeZone}')`)
    await typeAgain(warehouse)
  }
  const picture = async () => ({
    rows: await warehouse.rows(`
      SELECT o::VARCHAR AS text FROM obs."drop" o UNION ALL SELECT o::VARCHAR FROM obs.load o ORDER BY 1`),
    fates: await warehouse.rows(
      'SELECT fate, count(*)::INTEGER AS n FROM (SELECT fate FROM obs."drop" UNION ALL SELECT fate FROM obs.load) GROUP BY 1 ORDER BY 1',
    ),
    farApart: await warehouse.value(
      "SELECT count(*)::INTEGER FROM obs.finding WHERE finding = 'same-key-far-apart'",
    ),
    zone: await warehouse.value('SELECT zone FROM obs.key_zone'),
  })
  const { rows, ...found } = await picture()
  await rebuildObservations(warehouse)
  expect(await picture()).toEqual({ rows, ...found })
  await warehouse.close()
  return found
}

test.each([
  ['eleven', '03', '14'],
  ['thirteen', '02', '15'],
])(
  'record numbers that begin anew each local day, %s hours apart, in every order of arrival',
  async (_, evening, morning) => {
    const events = eveningAndMorning(evening!, morning!)
    const [drops, loads] = [{ 'drop.csv': events['drop.csv'] }, { 'load.csv': events['load.csv'] }]
    const orders: Files[][] = [
      [{ ...planes, ...mounting, ...bases, ...events }],
      [planes, mounting, bases, drops, loads],
      [planes, mounting, drops, loads, bases],
      [events, bases, { ...planes, ...mounting }],
      [loads, { ...planes, ...mounting }, drops, bases],
    ]
    for (const order of orders) {
      const found = await standing(order)
      expect(found).toMatchObject({
        fates: [{ fate: 'accepted', n: 6 }],
        farApart: 0,
        zone: 'America/Los_Angeles',
      })
    }
  },
  120_000,
)

test('the home zone goes before the bases, also when it is set after the drops came', async () => {
  const events = eveningAndMorning('03', '14')
  const registry = { ...planes, ...mounting }
  const none = await standing([{ ...registry, ...events }])
  expect(none).toMatchObject({
    zone: 'UTC',
    fates: [
      { fate: 'accepted', n: 3 },
      { fate: 'superseded', n: 3 },
    ],
  })
  const told = await standing([{ ...registry, ...events }], 'America/Denver')
  expect(told).toMatchObject({ zone: 'America/Denver', fates: [{ fate: 'accepted', n: 6 }] })
  const eastern = await standing([{ ...registry, ...bases, ...events }], 'Australia/Perth')
  expect(eastern.zone).toBe('Australia/Perth')
  expect(eastern.fates).toEqual([
    { fate: 'accepted', n: 3 },
    { fate: 'superseded', n: 3 },
  ])
}, 120_000)

test('of several zones the one of most bases counts, of as many the first by name, however they came', async () => {
  const events = eveningAndMorning('03', '14')
  const first = {
    'one.base.csv': 'code,name,zone\nB1,Base One,Australia/Perth\nB2,Base Two,America/Los_Angeles\n',
  }
  const second = { 'two.base.csv': 'code,name,zone\nB3,Base Three,America/Los_Angeles\n' }
  const moved = { 'three.base.csv': 'code,name,zone\nB2,Base Two,Australia/Perth\n' }
  const registry = { ...planes, ...mounting }
  const rename = (files: Files, to: string) => ({ [to]: Object.values(files)[0]! })
  const [a, b, c] = [first, second, moved].map((files) => rename(files, 'base.csv'))
  expect((await standing([registry, events, a!])).zone).toBe('America/Los_Angeles')
  expect((await standing([registry, b!, events, a!])).zone).toBe('America/Los_Angeles')
  const back = await standing([registry, a!, events, b!, c!])
  expect(back.zone).toBe('Australia/Perth')
  expect(back.fates).toEqual([
    { fate: 'accepted', n: 3 },
    { fate: 'superseded', n: 3 },
  ])
  expect(await standing([registry, a!, c!, b!, events])).toEqual({ ...back })
}, 120_000)
