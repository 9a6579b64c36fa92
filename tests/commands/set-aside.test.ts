import { rm } from 'node:fs/promises'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { House } from '../house/house.ts'
import { folderOf } from '../intake/folder.ts'

const why = ['--reason', 'the sum at the foot of the sheet', '--by', 'R. Alder']
let house: House
let logs: string

beforeAll(async () => {
  logs = await folderOf({
    'aircraft.csv': 'registration\nN801ZY\n',
    'drops.csv': [
      'dropped_at,aircraft,volume_gal',
      '2026-07-04T20:01:00Z,N801ZY,801',
      'Total,N801ZY,1602',
      '2026-07-04T20:09:00Z,N809ZY,801',
      '',
    ].join('\n'),
  })
  house = await House.open()
  await house.ingest(logs)
})
afterAll(async () => {
  await house.close()
  await rm(logs, { recursive: true })
})

const waiting = async () => (await house.rows<{ obs: string }>('quarantine')).map((row) => row.obs)
const fates = async () => {
  const [row] = await house.rows<Record<string, number>>('arrivals').then((rows) => rows.slice(-1))
  return [row!.read, row!.accepted, row!.duplicate, row!.superseded, row!.quarantined]
}

test('a line is set aside with reason and name, stays so on a rebuild, and is taken back', async () => {
  const [sum, stranger] = await waiting()
  expect(await fates()).toEqual([3, 1, 0, 0, 2])

  expect((await house.say('amend', 'set-aside', sum!)).err).toContain('needs a reason')
  expect(await house.say('amend', 'set-aside', sum!, ...why)).toMatchObject({ code: 0 })
  expect(await waiting()).toEqual([stranger])
  expect(await fates()).toEqual([3, 1, 0, 1, 1])
  const evidence = await house.say('evidence', 'file', sum!.split('-')[0]!)
  expect(evidence.out + evidence.err).toContain(
    'set aside by R. Alder: the sum at the foot of the sheet (amendment 1)',
  )
  expect((await house.say('amend', 'list')).out).toContain(`set-aside ${sum}`)
  expect(await house.say('verify')).toMatchObject({ code: 0 })

  expect(await house.say('amend', 'set-aside', sum!, ...why)).toMatchObject({
    code: 1,
    err: expect.stringContaining('was set aside already, by amendment 1'),
  })
  await house.say('amend', 'undo', '1', ...why)
  expect(await waiting()).toEqual([sum, stranger])
  expect(await fates()).toEqual([3, 1, 0, 0, 2])
})

test('a line that can be read later counts, set aside or not', async () => {
  const [, stranger] = await waiting()
  await house.say('amend', 'set-aside', stranger!, ...why)
  await house.say('alias', 'aircraft', 'N801ZY', 'N809ZY', ...why)
  expect(await fates()).toEqual([3, 2, 0, 0, 1])
  expect(await house.say('verify')).toMatchObject({ code: 0 })
})

test.each([
  ['1-1', 'no line of this number waits in quarantine'],
  ['drops.csv', 'drops.csv is no observation; write it like 12-345'],
])('%s cannot be set aside', async (name, words) => {
  expect((await house.say('amend', 'set-aside', name, ...why)).err).toContain(words)
})
