import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { House } from '../house/house.ts'
import { folderOf } from '../intake/folder.ts'
import { canonicalFiles } from './canonical.ts'
import { Chance } from './chance.ts'
import { claims } from './claims.ts'
import { type Answer, differences } from './compare.ts'
import { cycles } from './cycles.ts'
import { fly } from './fly.ts'
import { found } from './found.ts'
import { mess, usual } from './mess.ts'
import { paperFiles } from './paper.ts'
import type { Which } from './seen.ts'
import { Truth } from './truth.ts'

const share = 0.25

describe('a season on odd paper, told without error', () => {
  const season = fly(new Chance(11), share)
  const truth = new Truth(season)
  let house: House
  const totals = { read: 0, accepted: 0, duplicate: 0, superseded: 0, quarantined: 0 }

  beforeAll(async () => {
    house = await House.open()
    house.now = new Date('2025-12-31T12:00:00Z')
    const folder = await folderOf(paperFiles(claims(season)))
    const names = Object.keys(paperFiles(claims(season))).filter((name) => !name.startsWith('profiles/'))
    const order = new Chance(3).shuffle(names.filter((name) => name !== 'sheet-2.csv'))
    for (const run of [order.slice(0, 6), order.slice(6), ['sheet-2.csv']]) {
      const said = await house.ingest(...run.map((name) => join(folder, name)))
      for (const file of said.files) {
        expect(file).not.toHaveProperty('problem')
        expect(file.read).toBe(file.accepted + file.duplicate + file.superseded + file.quarantined)
      }
      for (const fate of Object.keys(totals) as (keyof typeof totals)[]) totals[fate] += said.totals[fate]
    }
  })
  afterAll(() => house.close())

  const holds = async (
    name: string,
    which: Which & { by?: string; as_of?: string },
    key: (row: Answer) => string,
    want: Map<string, object>,
    isPart = false,
  ): Promise<void> => {
    const params = Object.entries(which).map(([param, value]) => `${param}=${value}`)
    const rows = await house.rows(name, ...params)
    expect(differences(rows, key, want as never, isPart)).toEqual([])
  }

  test('it is large enough to mean something', () => {
    expect(season.drops.length).toBeGreaterThan(150)
    expect(new Set(season.drops.map((drop) => drop.basis)).size).toBe(3)
    expect(new Set(season.drops.map((drop) => drop.purpose)).size).toBe(5)
  })

  test('a grown sheet repeats its rows, and nothing is lost', () => {
    const crew = claims(season).filter((claim) => claim.kind === 'drop' && claim.witness === 'crew').length
    expect(totals).toMatchObject({ duplicate: Math.floor(crew * 0.6), superseded: 0 })
    expect(totals.accepted + totals.quarantined).toBe(totals.read - totals.duplicate)
  })

  const whiches: Which[] = [
    {},
    { from: '2025-07-01', to: '2025-08-15' },
    { tank: 'TK-11' },
    { fluid: 'retardant' },
  ]
  for (const which of whiches) {
    // a flight has no fluid; a ground test that moved none is shown with that of the load before it
    const hasFlights = !which.fluid
    test(`all answers equal the truth: ${JSON.stringify(which)}`, async () => {
      await holds('gallons-by-fire', which, (r) => String(r.fire), truth.gallonsByFire(which))
      await holds('gallons-by-base', which, (r) => String(r.base), truth.gallonsByBase(which), !hasFlights)
      await holds(
        'volume-by-purpose',
        which,
        (r) => String(r.purpose),
        truth.volumeByPurpose(which),
        !hasFlights,
      )
      await holds('drops', which, (r) => `${r.aircraft} ${r.dropped_at}`, truth.dropRows(which), !hasFlights)
      await holds('loads', which, (r) => `${r.aircraft} ${r.loaded_at}`, truth.loadRows(which))
      if (!hasFlights) return
      await holds('hours-by-fire', which, (r) => String(r.fire), truth.hoursByFire(which))
      await holds('gallons-by-aircraft', which, (r) => String(r.aircraft), truth.gallonsByAircraft(which))
      await holds('gallons-by-day', which, (r) => String(r.day), truth.gallonsByDay(which))
      await holds('flights', which, (r) => `${r.aircraft} ${r.off_at}`, truth.flightRows(which))
      await holds('turnarounds', which, (r) => String(r.base), truth.turnaroundRows(which))
      const setting = (r: Answer): string => `${r.tank}|${r.coverage_level}|${Number(r.fraction).toFixed(4)}`
      await holds('setting-accuracy', which, setting, truth.settingAccuracy(which))
      for (const by of ['objective', 'fuel', 'class', 'coverage'] as const)
        await holds('outcome-rates', { ...which, by }, (r) => String(r.group_name), truth.outcomes(which, by))
    })
  }

  test('counters of every tank and part equal the truth, at the end and in between', async () => {
    for (const day of ['2025-12-31', '2025-07-20'])
      await holds('tank-cycles', { as_of: day }, (r) => `${r.item} ${r.counter}`, cycles(season, day), true)
  })

  test('no finding cries wolf', async () => {
    const kinds = new Set((await house.rows('findings')).map((row) => row.finding))
    for (const known of ['overfill', 'home-zone-unknown', 'outside-daylight', 'drift-alarm'])
      kinds.delete(known)
    expect([...kinds]).toEqual([])
  })
})

test('a season told by tired people: drops are found with F1 of 0.995, fires with 0.99', async () => {
  const season = fly(new Chance(12), share)
  const told = mess(claims(season), new Chance(1012), usual)
  const house = await House.open()
  house.now = new Date('2025-12-31T12:00:00Z')
  const said = await house.ingest(await folderOf(canonicalFiles(told)))
  expect(said.totals.quarantined).toBe(0)
  const attested = new Set(told.filter((claim) => claim.kind === 'drop').map((claim) => claim.event))
  const figures = found(
    season.drops.filter((drop) => attested.has(drop.id)),
    await house.rows('drops'),
  )
  process.stdout.write(`${JSON.stringify(figures)}\n`)
  expect(figures.f1).toBeGreaterThanOrEqual(0.995)
  expect(figures.fires).toBeGreaterThanOrEqual(0.99)
  await house.close()
})
