/**
 * USNO, Almanac for Computers (1990): official zenith 90°50′ and the worked sunrise of 25 June 1990. J. Meeus,
 * Astronomical Algorithms (2nd ed.), example 25.a. NREL, Solar Position Algorithm, TP-560-34302: 17 October 2003.
 * Values marked NOAA were computed with the NOAA solar calculator's formulas by an independent program.
 */
import { DuckDBInstance } from '@duckdb/node-api'
import { describe, expect, test } from 'vitest'
import { isOutsideDaylight, sunDay, sunElevation, valueMacros } from '../../src/values/index.ts'
import { sunElements } from '../../src/values/sun.ts'

function times(day: string, latitude: number, longitude: number): [number, number] {
  const sun = sunDay(day, latitude, longitude)
  if (sun.kind !== 'rises') throw new Error(sun.kind)
  return [sun.sunrise.getTime(), sun.sunset.getTime()]
}
const seconds = (got: number, expected: string) => Math.abs(got - Date.parse(expected)) / 1000

describe('rise and set', () => {
  test('Meeus 25.a: declination on 1992 October 13.0', () => {
    const { declination, equationOfTime } = sunElements(-0.072183436)
    expect(declination).toBeCloseTo(-7.78507, 5)
    expect(equationOfTime).toBeCloseTo(13.71089, 4)
  })

  test('USNO worked example: sunrise 09:26.5 UT on 25 June 1990 at 40.9, -74.3, to a minute', () => {
    expect(seconds(times('1990-06-25', 40.9, -74.3)[0], '1990-06-25T09:26:28Z')).toBeLessThan(60)
  })

  test('NREL site: sunrise 06:12:43 of 17 October 2003; its printed sunset 17:20:19 is that of the UT day, the evening of the 16th', () => {
    expect(seconds(times('2003-10-17', 39.742476, -105.1786)[0], '2003-10-17T13:12:43Z')).toBeLessThan(5)
    expect(seconds(times('2003-10-16', 39.742476, -105.1786)[1], '2003-10-17T00:20:19Z')).toBeLessThan(5)
  })

  test.each([
    ['2003-10-17', 39.742476, -105.1786, '2003-10-17T13:12:43.4Z', '2003-10-18T00:18:50.8Z'],
    ['2024-07-15', 43.615, -116.2023, '2024-07-15T12:17:50.8Z', '2024-07-16T03:23:27.1Z'],
    ['2024-06-21', 64.84052, -147.60437, '2024-06-21T10:57:11.1Z', '2024-06-22T08:47:26.4Z'],
    ['2024-03-20', 0, 0, '2024-03-20T06:04:01.9Z', '2024-03-20T18:10:32.8Z'],
  ] as const)('NOAA %s at %f, %f', (day, latitude, longitude, rise, set) => {
    const [sunrise, sunset] = times(day, latitude, longitude)
    expect(seconds(sunrise, rise)).toBeLessThan(0.3)
    expect(seconds(sunset, set)).toBeLessThan(0.3)
  })

  test('polar day and night are answers', () => {
    expect(sunDay('2024-06-21', 80, 0)).toEqual({ kind: 'always-up' })
    expect(sunDay('2024-12-21', 80, 0)).toEqual({ kind: 'always-down' })
    expect(sunDay('2024-06-21', 90, 0)).toEqual({ kind: 'always-up' })
    expect(sunDay('2024-12-21', 90, 0)).toEqual({ kind: 'always-down' })
  })
})

describe('outside daylight (30 min before sunrise to 30 min after sunset: Interagency SEAT Operations Guide, day/night flight limitations)', () => {
  const boise = [43.615, -116.2023] as const
  const fairbanks = [64.84052, -147.60437] as const
  const cases: [string, readonly [number, number], number, boolean][] = [
    ['2024-07-15T11:47:40Z', boise, 30, true],
    ['2024-07-15T11:48:00Z', boise, 30, false],
    ['2024-07-15T20:00:00Z', boise, 30, false],
    ['2024-07-16T03:53:15Z', boise, 30, false],
    ['2024-07-16T03:53:40Z', boise, 30, true],
    ['2024-07-16T08:00:00Z', boise, 30, true],
    // Midsummer in Alaska: the window after sunset passes local midnight; 10:57 sunrise follows 08:47 sunset.
    ['2024-06-22T09:17:00Z', fairbanks, 30, false],
    ['2024-06-22T09:18:00Z', fairbanks, 30, true],
    ['2024-06-22T10:26:00Z', fairbanks, 30, true],
    ['2024-06-22T10:29:00Z', fairbanks, 30, false],
    ['2024-06-22T09:50:00Z', fairbanks, 70, false],
    ['2024-06-22T00:00:00Z', [80, 0], 30, false],
    ['2024-12-21T12:00:00Z', [80, 0], 30, true],
    // The sun tops the horizon for less than an hour around noon: the margin holds the noon.
    ['2024-12-21T12:00:00Z', [67.3, 0], 60, false],
  ]

  test.each(cases)('%s at %o with %i min: %s', (moment, [latitude, longitude], margin, expected) => {
    expect(isOutsideDaylight(new Date(moment), latitude, longitude, margin)).toBe(expected)
  })

  test('the SQL macros agree, also on a grid of places and hours', async () => {
    const connection = await (await DuckDBInstance.create(':memory:')).connect()
    await connection.run('CREATE SCHEMA val')
    for (const statement of valueMacros) await connection.run(statement)
    const grid = [-89, -45, 0, 33, 64.8, 69, 80].flatMap((latitude) =>
      Array.from({ length: 40 }, (_, i): [string, readonly [number, number], number] => [
        new Date(Date.UTC(2026, 0, 1) + i * 9.37 * 86_400_000).toISOString(),
        [latitude, -150 + i * 7],
        30,
      ]),
    )
    const all = [
      ...cases.map(([moment, place, margin]): [string, readonly [number, number], number] => [
        moment,
        place,
        margin,
      ]),
      ...grid,
    ]
    const rows = all.map(
      ([moment, [latitude, longitude], margin]) =>
        `(TIMESTAMP '${moment.slice(0, 23).replace('T', ' ').replace('Z', '')}', CAST(${latitude} AS DOUBLE), CAST(${longitude} AS DOUBLE), ${margin})`,
    )
    const result = await connection.runAndReadAll(
      `SELECT val.is_outside_daylight(m, a, b, c), val.sun_elevation(m, a, b) FROM (VALUES ${rows.join(', ')}) v(m, a, b, c)`,
    )
    for (const [i, [outside, height]] of result.getRows().entries()) {
      const [moment, [latitude, longitude], margin] = all[i]!
      expect(outside, `${moment} ${latitude} ${longitude}`).toBe(
        isOutsideDaylight(new Date(moment), latitude, longitude, margin),
      )
      expect(height).toBeCloseTo(sunElevation(new Date(moment), latitude, longitude), 8)
    }
    connection.closeSync()
  })
})
