import { mkdtemp } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { House } from '../house/house.ts'
import { folderOf } from '../intake/folder.ts'

const signed = ['--reason', 'a slip', '--by', 'A. Manager']
let house: House

beforeAll(async () => {
  house = await House.open()
  await house.ingest(
    await folderOf({
      'aircraft.csv': 'registration\nN701QZ\nN702QZ\n',
      'tank.csv': 'serial,capacity_gal,doors\nK-7,2000,2\n',
      'mounting.csv': 'tank,aircraft,on_at\nK-7,N701QZ,2025-06-01T00:00:00Z\n',
      'fire.csv':
        'number,name,started_at,ended_at\nF-1,Anvil,2025-07-01T00:00:00Z,2025-07-31T00:00:00Z\nF-2,Birch,2026-07-01T00:00:00Z,2026-07-31T00:00:00Z\n',
      'drop.csv': `dropped_at,aircraft,volume_gal,fire,witness,purpose
2025-07-04T18:30:00Z,N701QZ,900,Old Hill,crew,fire
2025-07-04T18:40:00Z,N701QZ,800,F-1,crew,fire
2026-07-04T18:30:00Z,N701QZ,700,F-2,crew,fire
2026-07-04T18:40:00Z,N701QZ,600,F-2,crew,fire
2026-07-04T18:41:00Z,N701QZ,610,F-2,controller,fire
2026-07-04T18:50:00Z,N701QZ,500,F-2,crew,fire
`,
    }),
  )
})
afterAll(() => house.close())

const drops = async (): Promise<string[]> =>
  (await house.rows<{ drop: string }>('drops')).map((row) => row.drop)
const obsOf = async (drop: string): Promise<string[]> =>
  JSON.parse((await house.say('evidence', 'drop', drop, '--json')).out).observations.map(
    (one: { obs: string }) => one.obs,
  )

describe('a closed season', () => {
  const early = 'D-N701QZ-20250704T183000Z'
  const second = 'D-N701QZ-20250704T184000Z'
  beforeAll(async () => {
    expect((await house.say('amend', 'exclude', 'drop', second, ...signed)).code).toBe(0)
    const out = await mkdtemp(join(tmpdir(), 'gallonage-closed-'))
    expect((await house.say('close', '2025', '--by', 'A. Manager', '--out', out)).code).toBe(0)
  })

  test.each([
    ['a record left out', async () => ['exclude', 'drop', early]],
    ['a field', async () => ['set', (await obsOf(early))[0]!, '--field', 'volume_gal', '--value', '950']],
    [
      'an event of an open season moved into it',
      async () => [
        'set',
        (await obsOf('D-N701QZ-20260704T183000Z'))[0]!,
        '--field',
        'dropped_at',
        '--value',
        '2025-07-05T18:30:00Z',
      ],
    ],
    ['an amendment undone', async () => ['undo', '1']],
  ])('is not changed by %s', async (_, what) => {
    const before = await drops()
    const { code, err } = await house.say('amend', ...(await what()), ...signed)
    expect([code, err]).toEqual([1, expect.stringContaining('season 2025 is closed')])
    expect(await drops()).toEqual(before)
  })

  test('nor by another name for a fire of it', async () => {
    const { code, err } = await house.say('alias', 'fire', 'F-1', 'Old Hill', ...signed)
    expect([code, err]).toEqual([1, expect.stringContaining('gallonage amend reopen 2025')])
  })

  test('is changed once it is re-opened; what does not touch it goes on', async () => {
    expect((await house.say('alias', 'fire', 'F-2', 'Birch Hill', ...signed)).code).toBe(0)
    expect((await house.say('amend', 'reopen', '2025', ...signed)).code).toBe(0)
    expect((await house.say('amend', 'undo', '1', ...signed)).code).toBe(0)
    expect(await drops()).toContain(second)
    expect((await house.say('verify')).code).toBe(0)
  })
})

test('what is excluded is neither merged nor excluded again, and says what to do', async () => {
  const last = 'D-N701QZ-20260704T185000Z'
  expect((await house.say('amend', 'exclude', 'drop', last, ...signed)).code).toBe(0)
  for (const what of [
    ['merge', 'drop', 'D-N701QZ-20260704T184100Z', last],
    ['exclude', 'drop', last],
  ]) {
    const { code, err } = await house.say('amend', ...what, ...signed)
    expect([code, err]).toEqual([1, expect.stringContaining(`drop ${last} is excluded`)])
  }
  expect(await drops()).toContain('D-N701QZ-20260704T184100Z')
})

test('rows that cannot be parted are named as people write them', async () => {
  const drop = 'D-N701QZ-20260704T184100Z'
  const rows = await obsOf(drop)
  expect(rows).toHaveLength(2)
  const { code, err } = await house.say('amend', 'split', 'drop', drop, '--obs', '1-1', ...signed)
  expect([code, err]).toEqual([2, expect.stringContaining(rows.join(', '))])
})

describe('a name with two meanings names neither', () => {
  test('an alias that names another', async () => {
    expect((await house.say('alias', 'aircraft', 'N701QZ', 'Alpha', ...signed)).code).toBe(0)
    expect((await house.say('alias', 'aircraft', 'N701QZ', 'AL-PHA', ...signed)).code).toBe(0)
    const { code, err } = await house.say('alias', 'aircraft', 'N702QZ', 'al pha', ...signed)
    expect([code, err]).toEqual([1, expect.stringContaining('names aircraft N701QZ by amendment')])
  })
  test('a registration on record', async () => {
    const { code, err } = await house.say('alias', 'aircraft', 'N702QZ', 'n701-qz', ...signed)
    expect([code, err]).toEqual([1, expect.stringContaining('n701-qz is aircraft N701QZ on record')])
  })
})

test('a flight cannot be set to land before it takes off, nor to stay up for more than a day', async () => {
  await house.ingest(
    await folderOf({
      'flight.csv': 'off_at,on_at,aircraft\n2026-07-04T18:20:00Z,2026-07-04T19:00:00Z,N702QZ\n',
    }),
  )
  const flight = 'F-N702QZ-20260704T182000Z'
  const read = async (id: string) => JSON.parse((await house.say('evidence', 'flight', id, '--json')).out)
  const obs: string = (await read(flight)).observations[0].obs
  const set = (field: string, value: string) =>
    house.say('amend', 'set', obs, '--field', field, '--value', value, ...signed)
  for (const [field, value, reason] of [
    ['on_at', '2026-07-04T18:10:00Z', 'on_at is before off_at'],
    ['on_at', '2027-07-04T19:00:00Z', 'on_at is more than 24 h after off_at'],
    ['off_at', '2026-07-05T18:20:00Z', 'on_at is before off_at'],
    ['off_at', '2025-07-04T18:20:00Z', 'on_at is more than 24 h after off_at'],
  ] as const) {
    const said = await set(field, value)
    expect(said.code).toBe(1)
    expect(said.err).toContain(reason)
  }
  expect(await set('on_at', '2026-07-05T18:05:00Z')).toMatchObject({ code: 0 })
  expect(await set('off_at', '2026-07-05T17:05:00Z')).toMatchObject({ code: 0 })
  const flights = await house.rows<{ aircraft: string; airborne_hours: number }>('flights')
  expect(flights.filter((one) => one.aircraft === 'N702QZ').map((one) => one.airborne_hours)).toEqual([1])
})

test('a merge of one record, and an amendment that nobody signs, are wrong usage', async () => {
  const [first, second] = await drops()
  const before = (await house.rows('amendments')).length
  for (const words of [
    ['merge', 'drop', first!, ...signed],
    ['merge', 'drop', first!, first!, ...signed],
    ['merge', 'drop', first!, second!, '--by', 'A. Manager'],
    ['exclude', 'drop', first!, '--reason', 'a slip', '--by', ' '],
  ]) {
    const said = await house.say('amend', ...words)
    expect(said.code).toBe(2)
    expect(said.err).toMatch(/two or more|needs a reason: give --reason|needs a name: give --by/)
  }
  expect((await house.rows('amendments')).length).toBe(before)
})
