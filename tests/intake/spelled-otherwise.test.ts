import { afterAll, beforeAll, expect, test } from 'vitest'
import { House } from '../house/house.ts'
import { folderOf } from './folder.ts'

let house: House
const send = async (files: Record<string, string>) => house.ingest(await folderOf(files))
const drops = async () =>
  (await house.rows<{ aircraft: string; tank: string }>('drops')).map(
    (drop) => `${drop.aircraft} ${drop.tank}`,
  )

beforeAll(async () => {
  house = await House.open()
  await send({
    'aircraft.csv': 'registration,call_number\nN701QZ,71\nN702QZ,72\n',
    'tank.csv': 'serial,capacity_gal,doors\nK-7,2000,2\n',
    'mounting.csv': 'tank,aircraft,on_at\nK-7,N701QZ,2026-05-01T00:00:00Z\n',
    'drop.csv': `dropped_at,aircraft,volume_gal,witness
2026-07-04T18:30:00Z,N701QZ,900,crew
2026-07-05T18:30:00Z,Old Bird,900,crew
2026-07-06T18:30:00Z,n-701-qz,900,crew
`,
  })
  await house.say('alias', 'aircraft', 'N701QZ', 'Old Bird', '--reason', 'paint', '--by', 'A. Manager')
})
afterAll(() => house.close())

test('a registry that comes again with dashes in its registrations tells of the same aircraft', async () => {
  expect(await drops()).toEqual(['N701QZ K-7', 'N701QZ K-7', 'N701QZ K-7'])
  await send({ 'aircraft-2.csv': 'registration,call_number\nN-701QZ,71\nn 702 qz,72\n' })
  expect(await house.rows('quarantine')).toEqual([])
  expect(await drops()).toEqual(['N-701QZ K-7', 'N-701QZ K-7', 'N-701QZ K-7'])
  expect((await house.rows('gallons-by-aircraft')).length).toBe(1)
  expect(await house.say('verify')).toMatchObject({ code: 0 })
})
