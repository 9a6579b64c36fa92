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

test('of a name that very many drops have, and no fire, the first drops are listed; what says that no fire is known is no name', async () => {
  const other = await House.open()
  const at = (minute: number): string =>
    new Date(Date.UTC(2026, 6, 4) + minute * 60_000).toISOString().replace('.000', '')
  const lines = Array.from({ length: 501 }, (_, i) => `${at(i)},N801ZY,900,Dry Creek,crew`)
  const none = ['none', '?', 'unk'].map((text, i) => `${at(600 + i)},N801ZY,900,${text},crew`)
  await other.ingest(
    await folderOf({
      'aircraft.csv': 'registration\nN801ZY\n',
      'drop.csv': `${['dropped_at,aircraft,volume_gal,fire,witness', ...lines.reverse(), ...none].join('\n')}\n`,
    }),
  )
  const found = (
    await other.rows<{ finding: string; message: string; evidence: string[] }>('findings')
  ).filter((one) => one.finding === 'unknown-fire')
  expect(found.map((one) => one.message)).toEqual([
    '"Dry Creek" is no fire of that day (501 drops, the first 500 listed); add it, or an alias',
  ])
  expect(found[0]!.evidence.length).toBe(500)
  expect(found[0]!.evidence.slice(0, 2)).toEqual([
    'drop:D-N801ZY-20260704T000000Z',
    'drop:D-N801ZY-20260704T000100Z',
  ])
  expect((await other.rows<{ drop: string }>('drops')).length).toBe(504)
  await other.close()
})
