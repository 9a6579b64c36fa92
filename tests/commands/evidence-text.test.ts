import { afterAll, beforeAll, expect, test } from 'vitest'
import { House } from '../house/house.ts'
import { folderOf } from '../intake/folder.ts'

const drop = 'D-N701QZ-20260704T183000Z'
const signed = ['--reason', 'bench test', '--by', 'A. Manager']
let house: House

beforeAll(async () => {
  house = await House.open()
  await house.ingest(
    await folderOf({
      'aircraft.csv': 'registration\nN701QZ\n',
      'tank.csv': 'serial,capacity_gal,doors\nK-7,2000,2\n',
      'mounting.csv': 'tank,aircraft,on_at\nK-7,N701QZ,2026-06-01T00:00:00Z\n',
      'load.csv': 'loaded_at,aircraft,volume_gal,witness\n2026-07-04T18:00:00Z,N701QZ,1500,ticket\n',
      'drop.csv':
        'dropped_at,aircraft,volume_gal,latitude,longitude,witness,purpose\n2026-07-04T18:30:00Z,N701QZ,720.0009287021336,43.123456,-115.5,controller,fire\n',
    }),
  )
})
afterAll(() => house.close())

test('a terminal shows a figure without the dust of its conversion, and a document all of it', async () => {
  const { out } = await house.say('evidence', 'drop', drop)
  expect(out).toMatch(/volume_gal +720\n/)
  expect(out).toMatch(/volume_gal +720 \(controller, /)
  expect(out).toMatch(/latitude +43\.12346\n/)
  const { record } = JSON.parse((await house.say('evidence', 'drop', drop, '--json')).out)
  expect(record.volume_gal).toBe(720.0009287021336)
})

test('a line is called by its file and number, as people find it', async () => {
  const { observations } = JSON.parse((await house.say('evidence', 'drop', drop, '--json')).out)
  const { out } = await house.say('evidence', 'obs', observations[0].obs)
  expect(out.split('\n')[0]).toBe('drop row, line 2 of drop.csv')
})

test('a load goes with the drops that it gave, and not with itself', async () => {
  const [load] = await house.rows<{ load: string }>('loads')
  const { related } = JSON.parse((await house.say('evidence', 'load', load!.load, '--json')).out)
  const named = related.map((one: { kind: string; id: string }) => `${one.kind} ${one.id}`)
  expect(named).toEqual(['aircraft N701QZ', 'tank K-7', `drop ${drop}`])
})

test('a record that is left out says so first, and by which amendment, in the words that made it', async () => {
  expect((await house.say('evidence', 'drop', drop)).out).not.toContain('left out')
  await house.say('amend', 'exclude', 'drop', drop, ...signed)
  const { out } = await house.say('evidence', 'drop', drop)
  expect(out.split('\n')[2]).toBe('left out of the account: it is kept here, and counted nowhere')
  expect(out).toMatch(/^ {2}1 exclude drop \d+-2 by A\. Manager on .*: bench test$/m)
})
