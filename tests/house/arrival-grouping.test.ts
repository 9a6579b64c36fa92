import { rm } from 'node:fs/promises'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { folderOf } from '../intake/folder.ts'
import { House } from './house.ts'

const at = (day: number, second: number): string =>
  new Date(Date.UTC(2026, 6, day, 16, 0, second)).toISOString()
const days = Array.from({ length: 30 }, (_, i) => i + 1)
const fleet = ['N801ZY', 'N802ZY', 'N803ZY']

/** Some whole number below 600, much unlike that of the next day. */
const odd = (day: number, plane: number): number => (day * 7919 + plane * 104_729) % 599

/** Volumes in litres and flights of odd seconds: neither gallons nor hours are sums of binary fractions. */
function season(): Record<string, string> {
  const drops: string[] = []
  const flights: string[] = []
  const loads: string[] = []
  for (const day of days) {
    for (const [plane, aircraft] of fleet.entries()) {
      for (const hop of [0, 1]) {
        const off = 3600 * 2 * hop + 37 * plane
        loads.push(`${at(day, off - 900)},${aircraft},B1,${7000 + day} L,retardant`)
        flights.push(`${at(day, off)},${at(day, off + 3000 + odd(day, plane))},${aircraft}`)
        for (const n of [0, 1, 2])
          drops.push(
            `${at(day, off + 600 + 500 * n)},${aircraft},${1700 + odd(3 * day + hop, plane + 5 * n)} L,F-${1 + ((day + n) % 2)},fire`,
          )
      }
    }
  }
  const part = (rows: string[], n: number): string =>
    rows.slice((rows.length / 3) * n, (rows.length / 3) * (n + 1)).join('\n')
  const files = {
    drop: ['dropped_at,aircraft,volume_gal,fire,purpose', drops],
    flight: ['off_at,on_at,aircraft', flights],
    load: ['loaded_at,aircraft,base,volume_gal,fluid', loads],
  } as const
  return {
    'aircraft.csv': `registration\n${fleet.join('\n')}\n`,
    'tank.csv': 'serial,capacity_gal,doors\nK-1,3000,2\nK-2,3000,2\nK-3,3000,2\n',
    'mounting.csv': `tank,aircraft,on_at\n${fleet.map((one, i) => `K-${i + 1},${one},2026-05-01T00:00:00Z`).join('\n')}\n`,
    'base.csv': 'code,name,zone,latitude,longitude\nB1,Base One,America/Boise,43.6,-116.2\n',
    'fire.csv':
      'number,name,latitude,longitude,started_at,ended_at\nF-1,First,43.9,-116,2026-06-01T00:00:00Z,2026-09-30T00:00:00Z\nF-2,Second,44.2,-115.8,2026-06-01T00:00:00Z,2026-09-30T00:00:00Z\n',
    ...Object.fromEntries(
      Object.entries(files).flatMap(([kind, [head, rows]]) =>
        [0, 1, 2].map((n) => [`${kind}-${n}.csv`, `${head}\n${part([...rows], n)}\n`]),
      ),
    ),
  }
}

const asked = [
  'drops',
  'hours-by-fire',
  'gallons-by-fire',
  'gallons-by-base',
  'gallons-by-aircraft',
  'gallons-by-day',
  'gallons-by-fire-day',
  'volume-by-purpose',
  'flight-gallons',
  'loads-by-hour',
  'fill-accuracy',
  'tank-cycles',
  'season-comparison',
]

const folders: string[] = []
afterAll(async () => {
  for (const folder of folders) await rm(folder, { recursive: true, force: true })
})

test('however the files of a season are grouped in runs, every answer is the same to the last byte', async () => {
  const files = season()
  const folder = await folderOf(files)
  folders.push(folder)
  const path = (name: string): string => join(folder, name)
  const names = Object.keys(files)
  const registry = names.filter((name) => !/-\d/.test(name))
  const ofPart = (n: number): string[] => names.filter((name) => name.endsWith(`-${n}.csv`))
  const groupings = [
    [names],
    [registry, ofPart(2), ofPart(0), ofPart(1)],
    [
      [...registry, ...ofPart(1)],
      [...ofPart(2), ...ofPart(0)],
    ],
  ]
  const told: Record<string, string>[] = []
  for (const runs of groupings) {
    const house = await House.open()
    for (const run of runs) await house.ingest(...run.map(path))
    const answers: Record<string, string> = {}
    for (const name of asked) {
      const said = await house.say('query', name, '--json')
      expect(said.code, `${name}: ${said.err}`).toBe(0)
      answers[name] = said.out
    }
    told.push(answers)
    // However the rows lie in their table, too.
    for (let order = 0; order < 40 && told.length === groupings.length; order++) {
      await house.warehouse.run(
        `CREATE OR REPLACE TEMP TABLE turned AS FROM account."drop" ORDER BY hash("drop", ${order});
         DELETE FROM account."drop"; INSERT INTO account."drop" FROM turned`,
      )
      for (const name of ['hours-by-fire', 'gallons-by-fire', 'gallons-by-aircraft'])
        expect((await house.say('query', name, '--json')).out, `${name}, order ${order}`).toBe(answers[name])
    }
    await house.warehouse.close()
  }
  const hours = JSON.parse(told[0]!['hours-by-fire']!) as { fire: string; flight_hours: number }[]
  const flown = days.flatMap((day) => fleet.map((_, plane) => 2 * (3000 + odd(day, plane))))
  expect(hours.reduce((all, row) => all + row.flight_hours, 0)).toBeCloseTo(
    flown.reduce((all, seconds) => all + seconds, 0) / 3600,
    9,
  )
  for (const other of told.slice(1)) for (const name of asked) expect(other[name], name).toBe(told[0]![name])
}, 240_000)
