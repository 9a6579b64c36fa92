import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { folderOf } from '../intake/folder.ts'
import { type Season, simulate } from '../simulator/simulate.ts'
import { House } from './house.ts'

type Row = Record<string, unknown>

/** Texts and counts exactly, volumes and hours to 1e-9 relative. */
function expectSame(rows: readonly Row[], truth: readonly Row[], key: readonly string[]): void {
  const name = (row: Row) => key.map((one) => row[one]).join(' | ')
  const byKey = new Map(rows.map((row) => [name(row), row]))
  const wrong: string[] = []
  for (const want of truth) {
    const row = byKey.get(name(want))
    if (!row) {
      wrong.push(`${name(want)}: no row`)
      continue
    }
    for (const [column, value] of Object.entries(want)) {
      const got = row[column]
      const isSame =
        typeof value === 'number' && typeof got === 'number'
          ? Math.abs(got - value) <= 1e-9 * Math.max(1, Math.abs(value))
          : (got ?? null) === (value ?? null)
      if (!isSame) wrong.push(`${name(want)}: ${column} is ${String(got)}, truth ${String(value)}`)
    }
  }
  expect(wrong.slice(0, 20)).toEqual([])
}

const layouts = [
  { layout: 'canonical', seed: 11 },
  { layout: 'trade', seed: 12 },
] as const

describe.each(layouts)('a clean season in $layout files', ({ layout, seed }) => {
  let house: House
  let season: Season

  beforeAll(async () => {
    season = simulate({ seed, layout, days: 35, aircraft: 5 })
    house = await House.open()
    const folder = await folderOf(Object.fromEntries(season.files.map((file) => [file.path, file.bytes])))
    const report = await house.ingest(folder)
    expect(report.files.filter((file) => file.profile === null)).toEqual([])
    for (const file of report.files) {
      const path = Object.keys(season.truth.fates).find((one) => file.path.endsWith(`/${one}`))
      const fates = path ? season.truth.fates[path] : null
      if (fates)
        expect({ path, ...fates }, path).toMatchObject({
          accepted: file.accepted,
          duplicate: file.duplicate,
          superseded: file.superseded,
          quarantined: file.quarantined,
        })
    }
  })
  afterAll(() => house.close())

  test.each([
    ['gallons-by-fire', 'gallonsByFire', ['fire']],
    ['gallons-by-base', 'gallonsByBase', ['base']],
    ['gallons-by-aircraft', 'gallonsByAircraft', ['aircraft']],
    ['gallons-by-day', 'gallonsByDay', ['day']],
    ['volume-by-purpose', 'volumeByPurpose', ['purpose']],
    ['hours-by-fire', 'hoursByFire', ['fire']],
  ] as const)('%s equals the truth', async (question, truth, key) => {
    const wanted = (season.truth.answers[truth] as unknown as Row[]).map((row) =>
      row.base === 'no drop' ? { base: row.base, flight_hours: row.flight_hours } : row,
    )
    expect(wanted.length).toBeGreaterThan(1)
    expectSame(await house.rows(question), wanted, key)
  })

  test('tank cycles equal the truth', async () => {
    const wanted = season.truth.answers.tankCycles.map(({ item, counter, baseline, total }) => ({
      item,
      counter,
      baseline,
      total,
    }))
    expectSame(
      await house.rows('tank-cycles', 'as_of=2026-12-31'),
      wanted.filter((row) => row.counter !== 'days'),
      ['item', 'counter'],
    )
  })

  test('sums over fires, bases and flights without drops equal the totals', async () => {
    const sum = (rows: readonly Row[], column: string) =>
      rows.reduce((total, row) => total + Number(row[column] ?? 0), 0)
    const fires = await house.rows('gallons-by-fire')
    const bases = await house.rows('gallons-by-base')
    const drops = (await house.rows('drops')).filter((row) => row.purpose === 'fire')
    const airborne = sum(await house.rows('flights'), 'airborne_hours')
    expect(fires.map((row) => row.fire)).toContain('unattributed')
    expect(bases.map((row) => row.base)).toEqual(expect.arrayContaining(['unknown', 'no drop']))
    expect(sum(fires, 'drops')).toBe(drops.length)
    expect(sum(bases, 'drops')).toBe(drops.length)
    expect(sum(fires, 'gallons')).toBeCloseTo(sum(drops, 'volume_gal'), 5)
    expect(sum(bases, 'gallons')).toBeCloseTo(sum(drops, 'volume_gal'), 5)
    expect(sum(await house.rows('hours-by-fire'), 'flight_hours')).toBeCloseTo(airborne, 9)
    expect(sum(bases, 'flight_hours')).toBeCloseTo(airborne, 9)
  })

  /** Invoices of a clean season are right by its truth; how they are held against it has tests of its own. */
  const invoices = new Set(['invoice-dispute', 'invoice-unbilled'])

  test('nothing cries wolf', async () => {
    const findings = await house.rows<{ finding: string; severity: string; message: string }>('findings')
    expect(
      findings
        .filter((row) => row.severity !== 'note' && !invoices.has(row.finding))
        .map((row) => row.message),
    ).toEqual([])
  })

  test('a rebuild gives the same, row for row', async () => {
    expect((await house.say('verify')).out).toContain('every row is the same')
  })
})
