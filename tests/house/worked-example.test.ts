import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { folderOf } from '../intake/folder.ts'
import { expected } from '../simulator/worked-answers.ts'
import { expectedResend, resentCrewSheet, workedExampleFiles } from '../simulator/worked-example.ts'
import { House } from './house.ts'

let house: House

beforeAll(async () => {
  house = await House.open()
  const report = await house.ingest(
    await folderOf(Object.fromEntries(workedExampleFiles.map((file) => [file.path, file.text]))),
  )
  expect(report.totals).toEqual(expected.arrivals)
})
afterAll(() => house.close())

/** Rows hold at least the columns that the hand-worked answer names; numbers agree to 1e-9 relative. */
function match(
  rows: readonly Record<string, unknown>[],
  wanted: readonly Readonly<Record<string, unknown>>[],
  ...key: string[]
): void {
  for (const want of wanted) {
    const row = rows.find((one) => key.every((name) => one[name] === want[name]))
    expect(row, `row ${key.map((name) => want[name]).join(' ')}`).toBeDefined()
    for (const [name, value] of Object.entries(want)) {
      if (typeof value === 'number' && typeof row![name] === 'number')
        expect(
          Math.abs((row![name] as number) - value),
          `${name} of ${key.map((one) => want[one]).join(' ')}`,
        ).toBeLessThanOrEqual(1e-9 * Math.max(1, Math.abs(value)))
      else expect(row![name], `${name} of ${key.map((one) => want[one]).join(' ')}`).toEqual(value)
    }
  }
}

describe('the season worked by hand', () => {
  test('five drops, each once', async () => {
    const rows = await house.rows('drops')
    expect(rows).toHaveLength(5)
    match(rows, expected.drops, 'dropped_at')
  })

  test.each([
    ['gallons-by-fire', ['fire'], 3],
    ['hours-by-fire', ['fire'], 4],
    ['gallons-by-base', ['base'], 3],
    ['gallons-by-aircraft', ['aircraft'], 1],
    ['volume-by-purpose', ['purpose'], 3],
    ['tank-balance', ['opened_at'], 4],
  ] as const)('%s', async (name, key, count) => {
    const rows = await house.rows(name)
    expect(rows).toHaveLength(count)
    match(rows, expected[name], ...key)
  })

  test('gallons by day', async () => {
    match(await house.rows('gallons-by-day'), expected['gallons-by-day'], 'day')
  })

  test('tank cycles on 31 July', async () => {
    match(await house.rows('tank-cycles', 'as_of=2026-07-31'), expected['tank-cycles'], 'item', 'counter')
  })

  test('hours of all fires and of flights without a drop sum to all airborne hours', async () => {
    const hours = (await house.rows<{ flight_hours: number }>('hours-by-fire')).reduce(
      (sum, row) => sum + row.flight_hours,
      0,
    )
    expect(hours).toBeCloseTo(3 + 40 / 60, 9)
  })

  test('a rebuild from raw rows gives the same', async () => {
    expect((await house.say('verify')).code).toBe(0)
  })
})

describe('the same crew sheet arrives again, grown and corrected', () => {
  test('fates, precedence and evidence', async () => {
    const report = await house.ingest(await folderOf({ [resentCrewSheet.path]: resentCrewSheet.text }))
    expect(report.files[0]).toMatchObject(expectedResend.resent)
    const arrivals = await house.rows<{ path: string }>('arrivals')
    expect(arrivals.find((row) => row.path.endsWith('crew-sheet-20260705.csv'))).toMatchObject(
      expectedResend.firstSheetAfterwards,
    )
    const drops = await house.rows<{ drop: string; dropped_at: string; volume_gal: number }>('drops')
    expect(drops).toHaveLength(5)
    const drop = drops.find((row) => row.dropped_at === expectedResend.drop.dropped_at)!
    expect(drop.volume_gal).toBe(expectedResend.drop.volume_gal)
    const evidence = JSON.parse((await house.say('evidence', 'drop', drop.drop, '--json')).out)
    const volume = evidence.claims.find((claim: { field: string }) => claim.field === 'volume_gal')
    expect(Number(volume.taken.value)).toBe(1010)
    expect(volume.beaten.map((one: { value: string }) => Number(one.value))).toContain(
      expectedResend.drop.beaten_gal,
    )
    expect(JSON.stringify(evidence)).toContain('1,000 gal')
    expect((await house.say('verify')).code).toBe(0)
  })
})
