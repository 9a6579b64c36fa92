import { rm } from 'node:fs/promises'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { folderOf } from '../intake/folder.ts'
import { House } from './house.ts'

const folders: string[] = []
afterAll(async () => {
  for (const folder of folders) await rm(folder, { recursive: true, force: true })
})

const at = (hour: number, minute: number): string =>
  `2026-07-04T${String(hour).padStart(2, '0')}:${String(minute).padStart(2, '0')}:00Z`

/** Two aircraft; the crew of the first calls it T801, and tells one drop more than its controller. */
const season = {
  'aircraft.csv': 'registration,aliases\nN801ZY,T801\nN802ZY,\n',
  'controller.csv': `dropped_at,aircraft,volume_gal,openings,witness\n${[16, 17, 18]
    .map(
      (hour) =>
        `${at(hour, 20)},N801ZY,${800 + hour},2,controller\n${at(hour, 3 * hour - 10)},N802ZY,300,2,controller`,
    )
    .join('\n')}\n`,
  'crew.csv': `dropped_at,aircraft,volume_gal,fire,witness\n${[16, 17, 18, 19]
    .map((hour) => `${at(hour, 20)},T801,${800 + hour},Elm Creek,crew`)
    .join('\n')}\n`,
  'tickets.csv': `loaded_at,aircraft,volume_gal,ticket,base,witness\n${at(15, 50)},N801ZY,900,J-1,JUN,ticket\n`,
  'tickets-2.csv': `loaded_at,aircraft,volume_gal,ticket,base,witness\n${at(15, 50)},T801,950,J-1,JUN,ticket\n`,
  'mended.csv': 'registration,aliases\nN801ZY,\n',
  'moved.csv': 'registration,aliases\nN802ZY,T801\n',
}

interface Seen {
  drops: [string, string | null][]
  loads: [string, number][]
  waiting: number
}

async function seen(house: House): Promise<Seen> {
  const drops = await house.rows<{ aircraft: string; fire: string | null }>('drops')
  const verified = await house.say('verify')
  expect(verified, verified.err + verified.out).toMatchObject({ code: 0 })
  return {
    drops: drops.map((row): [string, string | null] => [row.aircraft, row.fire]).sort(),
    loads: (await house.rows<{ aircraft: string; volume_gal: number }>('loads')).map((row) => [
      row.aircraft,
      row.volume_gal,
    ]),
    waiting: (await house.rows('quarantine')).length,
  }
}

test('a name that an aircraft no longer has takes what was told under it out of the account, and gives it back', async () => {
  const logs = await folderOf(season)
  folders.push(logs)
  const house = await House.open()
  const send = (...names: string[]) => house.ingest(...names.map((name) => join(logs, name)))
  await send('aircraft.csv', 'controller.csv', 'crew.csv', 'tickets.csv')
  await send('tickets-2.csv')
  const whole = await seen(house)
  expect(whole.waiting).toBe(0)
  expect(whole.loads).toEqual([['N801ZY', 950]])
  expect(whole.drops.filter(([aircraft]) => aircraft === 'N801ZY')).toHaveLength(4)

  house.now = new Date('2026-08-01T12:00:00Z')
  await send('mended.csv')
  const without = await seen(house)
  expect(without.waiting).toBe(5)
  expect(without.loads, 'what the row under the name had superseded').toEqual([['N801ZY', 900]])
  expect(without.drops).toHaveLength(6)

  const said = await house.say('alias', 'aircraft', 'N801ZY', 'T801', '--reason', 'asked', '--by', 'planner')
  expect(said, said.err).toMatchObject({ code: 0 })
  expect(await seen(house)).toEqual(whole)

  const undone = await house.say('amend', 'undo', '1', '--reason', 'it does not', '--by', 'planner')
  expect(undone, undone.err).toMatchObject({ code: 0 })
  expect(await seen(house)).toEqual(without)

  house.now = new Date('2026-08-02T12:00:00Z')
  await send('moved.csv')
  const moved = await seen(house)
  expect(moved.waiting).toBe(0)
  expect(moved.drops.filter(([aircraft]) => aircraft === 'N801ZY')).toHaveLength(3)
  expect(moved.drops.filter(([aircraft]) => aircraft === 'N802ZY')).toHaveLength(7)
  expect(moved.loads, 'one ticket, said otherwise by the later file').toEqual([['N802ZY', 950]])
  await house.close()
})
