import { afterAll, beforeAll, expect, test } from 'vitest'
import { House } from '../house/house.ts'
import { folderOf } from '../intake/folder.ts'

const head = 'dropped_at,aircraft,volume_gal,fire,witness\n'
const fires = 'number,name,started_at,ended_at,aliases\n'
const fire = (number: string, name: string, aliases = '') =>
  `${number},${name},2026-07-01T00:00:00Z,2026-07-31T00:00:00Z,${aliases}\n`
let house: House

const send = async (files: Record<string, string>) => house.ingest(await folderOf(files))
const disputed = async () =>
  (await house.rows<{ finding: string; subject: string }>('findings'))
    .filter((one) => one.finding === 'fire-disagreement')
    .map((one) => one.subject.slice(-7, -3))

beforeAll(async () => {
  house = await House.open()
  const told = [
    ['F-1', 'Dry Creek'],
    ['Dry Crek', 'F-1'],
    ['F-1', 'Canyon'],
    ['F-1', 'the big one'],
  ]
  await send({
    'aircraft.csv': 'registration\nN801ZY\n',
    'fire.csv': fires + fire('F-1', 'Dry Creek') + fire('F-2', 'Canyon'),
    'drop.csv':
      head +
      told
        .map(([crew, dispatch], i) =>
          [`${crew},crew`, `${dispatch},dispatch`]
            .map((who) => `2026-07-04T18:${i}5:00Z,N801ZY,${i + 5}00,${who}\n`)
            .join(''),
        )
        .join(''),
  })
})
afterAll(() => house.close())

test('a fire by its number and the same fire by its name are no disagreement', async () => {
  expect(await disputed()).toEqual(['1825', '1835'])
})

test('what nobody knew is no disagreement once it is another name of that fire, and is one again when it is not', async () => {
  const signed = ['--reason', 'spelling', '--by', 'A. Manager']
  expect((await house.say('alias', 'fire', 'F-1', 'the big one', ...signed)).code).toBe(0)
  expect(await disputed()).toEqual(['1825'])
  expect(await house.say('verify')).toMatchObject({ code: 0 })
  expect((await house.say('amend', 'undo', '1', ...signed)).code).toBe(0)
  expect(await disputed()).toEqual(['1825', '1835'])
  expect(await house.say('verify')).toMatchObject({ code: 0 })
})

test('the fires of another file settle it, too, and a corrected line forgets what was written', async () => {
  await send({
    'fire-2.csv':
      fires + fire('F-2', 'Canyon', 'Side Canyon') + fire('F-1', 'Dry Creek', 'the big one;Canyon'),
  })
  expect(await house.say('verify')).toMatchObject({ code: 0 })
  await send({ 'drop-2.csv': `${head}2026-07-04T18:25:00Z,N801ZY,700,Dry Creek,dispatch\n` })
  expect(await disputed()).toEqual([])
  expect(await house.say('verify')).toMatchObject({ code: 0 })
})
