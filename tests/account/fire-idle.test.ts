import { afterAll, beforeAll, expect, test } from 'vitest'
import { House } from '../house/house.ts'
import { folderOf } from '../intake/folder.ts'

const head = 'number,name,started_at,ended_at\n'
let house: House

const send = async (files: Record<string, string>) => house.ingest(await folderOf(files))
const fire = (name: string, until: string) =>
  send({
    [`fire-${name}-${until}.csv`]: `${head}F-1,${name},2026-07-01T00:00:00Z,2026-07-${until}T00:00:00Z\n`,
  })
const unknown = async () =>
  (await house.rows<{ finding: string; message: string }>('findings'))
    .filter((one) => one.finding === 'unknown-fire')
    .map((one) => one.message)

beforeAll(async () => {
  house = await House.open()
  await send({
    'aircraft.csv': 'registration\nN801ZY\n',
    'drop.csv':
      'dropped_at,aircraft,volume_gal,fire,witness\n2026-07-27T18:30:00Z,N801ZY,900,Dry Creek,crew\n',
  })
})
afterAll(() => house.close())

test('a name that a fire of other days has is told with that fire, as the fires stand', async () => {
  expect(await unknown()).toEqual(['"Dry Creek" is no fire of that day (1 drops); add it, or an alias'])
  await fire('Dry Creek', '10')
  expect(await unknown()).toEqual([
    '"Dry Creek" is no fire of that day (1 drops); did they mean F-1 Dry Creek, which was not active then?',
  ])
  expect(await house.say('verify')).toMatchObject({ code: 0 })
  await fire('Wet Rock', '10')
  expect(await unknown()).toEqual(['"Dry Creek" is no fire of that day (1 drops); add it, or an alias'])
  expect(await house.say('verify')).toMatchObject({ code: 0 })
  await fire('Dry Creek', '26')
  expect(await unknown()).toEqual([])
  expect(await house.rows('drops')).toMatchObject([{ fire: 'F-1', fire_basis: 'stated' }])
  expect(await house.say('verify')).toMatchObject({ code: 0 })
})
