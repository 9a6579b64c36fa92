import { afterAll, beforeEach, expect, test } from 'vitest'
import { House } from '../house/house.ts'
import { folderOf } from '../intake/folder.ts'

const signed = ['--reason', 'the crew says so', '--by', 'A. Manager']
const head = 'dropped_at,aircraft,volume_gal,fire,witness\n'
let house: House

beforeEach(async () => {
  await house?.close()
  house = await House.open()
  await send({
    'aircraft.csv': 'registration\nN701QZ\n',
    'fire.csv': 'number,name,started_at\nF-1,Anvil,2026-07-01T00:00:00Z\nF-2,Birch,2026-07-01T00:00:00Z\n',
    'drop.csv': `${head}2026-07-04T18:30:00Z,N701QZ,900,F-1,crew\n`,
  })
  const [obs] = await rowsOf('D-N701QZ-20260704T183000Z')
  expect((await house.say('amend', 'set', obs!, '--field', 'fire', '--value', 'F-2', ...signed)).code).toBe(0)
})
afterAll(() => house.close())

const send = async (files: Record<string, string>) => house.ingest(await folderOf(files))
const again = (volume: number, fire: string) =>
  send({ [`drop-${volume}.csv`]: `${head}2026-07-04T18:30:00Z,N701QZ,${volume},${fire},crew\n` })
const behind = async (drop: string) => JSON.parse((await house.say('evidence', 'drop', drop, '--json')).out)
const rowsOf = async (drop: string): Promise<string[]> =>
  (await behind(drop)).observations.map((one: { obs: string }) => one.obs)
const lapsed = async () =>
  (await house.rows<{ finding: string; message: string; evidence: string[] }>('findings')).filter(
    (one) => one.finding === 'amendment-lapsed',
  )
const fires = async () => (await house.rows<{ fire: string }>('drops')).map((drop) => drop.fire)

test('a line that its sender corrects overtakes what a person set on it, and a finding says so', async () => {
  expect([await fires(), await lapsed()]).toEqual([['F-2'], []])
  await again(920, 'F-1')
  await again(930, 'F-1')
  expect(await fires()).toEqual(['F-1'])
  const [found] = await lapsed()
  expect(found!.message).toContain('fire was set to F-2 by a person')
  expect(found!.message).toContain('replaced the line, with F-1')
  expect(found!.evidence.length).toBe(2)
  expect(await house.say('verify')).toMatchObject({ code: 0 })
  const { amendments, findings } = await behind('D-N701QZ-20260704T183000Z')
  expect(amendments).toMatchObject([{ amendment_no: 1, action: 'set-field', undone: false }])
  expect(findings.map((one: { finding: string }) => one.finding)).toContain('amendment-lapsed')
})

test('set again on the line that stands now, or undone, nothing is left to look at', async () => {
  await again(920, 'F-1')
  expect((await lapsed()).length).toBe(1)
  const [obs] = await rowsOf('D-N701QZ-20260704T183000Z')
  await house.say('amend', 'set', obs!, '--field', 'fire', '--value', 'F-2', ...signed)
  expect([await fires(), await lapsed()]).toEqual([['F-2'], []])
  await house.say('amend', 'undo', '2', ...signed)
  expect((await lapsed()).length).toBe(1)
  await house.say('amend', 'undo', '1', ...signed)
  expect([await fires(), await lapsed()]).toEqual([['F-1'], []])
  expect(await house.say('verify')).toMatchObject({ code: 0 })
})

test('a sender who writes what the person had set leaves nothing to look at', async () => {
  await again(920, 'F-2')
  expect([await fires(), await lapsed()]).toEqual([['F-2'], []])
})

test('of a line that a later sheet withdraws the amendment is told, too', async () => {
  const spec = {
    profile: 'whole-sheet',
    sends: 'whole',
    headers: ['When', 'Tail', 'Gallons'],
    records: [
      {
        kind: 'drop',
        witness: 'crew',
        fields: {
          dropped_at: { from: 'When' },
          aircraft: { from: 'Tail' },
          volume: { from: 'Gallons', unit: 'gal_us' },
        },
      },
    ],
  }
  const sheet = (...days: number[]) =>
    `When,Tail,Gallons\n${days.map((day) => `2026-07-1${day}T18:00:00Z,N701QZ,50${day}\n`).join('')}`
  await send({ 'profiles/sheet.json': JSON.stringify(spec), 'sheet-1.csv': sheet(1, 2, 3) })
  const [obs] = await rowsOf('D-N701QZ-20260712T180000Z')
  await house.say('amend', 'set', obs!, '--field', 'volume_gal', '--value', '520', ...signed)
  expect(await lapsed()).toEqual([])
  await send({ 'sheet-2.csv': sheet(1, 3) })
  expect((await lapsed()).map((one) => one.message)).toEqual([
    'volume_gal was set to 520 by a person, and then a later file withdrew the line: look whether it should, and undo the amendment',
  ])
})
