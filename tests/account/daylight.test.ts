import { afterAll, beforeAll, expect, test } from 'vitest'
import { isOutsideDaylight } from '../../src/values/index.ts'
import type { Warehouse } from '../../src/warehouse/index.ts'
import { emptyWarehouse } from './fixture.ts'

let w: Warehouse
beforeAll(async () => {
  w = await emptyWarehouse()
})
afterAll(() => w.close())

const darkMinutes = async (time: string, latitude: number, longitude: number): Promise<number> =>
  (await w.value<number>(
    'SELECT account.dark_minutes(t, $lat::DOUBLE, $lon::DOUBLE, account.sun_declination(c), account.equation_of_time(c)) FROM (SELECT t, account.century(t) AS c FROM (SELECT $time::TIMESTAMP AS t))',
    { time, lat: latitude, lon: longitude },
  ))!

// Sunrise 06:12:43 (UTC-7) on 17 October 2003 at 39.742476, -105.1786: Reda and Andreas, Solar Position Algorithm for
// Solar Radiation Applications, NREL/TP-560-34302, 2008, example. Its printed sunset, 17:20:19, is that of 16 October.
test('the window opens 30 min before the published sunrise and closes 30 min after the sunset', async () => {
  expect(Math.abs(await darkMinutes('2003-10-17 12:42:43', 39.742476, -105.1786))).toBeLessThan(1)
  expect(Math.abs(await darkMinutes('2003-10-17 00:50:19', 39.742476, -105.1786))).toBeLessThan(1)
  expect(await darkMinutes('2003-10-17 12:30:00', 39.742476, -105.1786)).toBeCloseTo(12.7, 0)
  expect(await darkMinutes('2003-10-17 19:00:00', 39.742476, -105.1786)).toBeLessThan(-300)
})

test('a day without night is inside, a day without sun is not', async () => {
  expect(await darkMinutes('2024-06-21 01:00:00', 80, 0)).toBeLessThan(0)
  expect(await darkMinutes('2024-12-21 20:00:00', 80, 0)).toBeGreaterThan(0)
})

test('it judges as the reading of single values does', async () => {
  const rows = await w.rows<{ t: string; latitude: number; longitude: number; minutes: number }>(`
    SELECT t, latitude, longitude,
      account.dark_minutes(t, latitude, longitude, account.sun_declination(c), account.equation_of_time(c)) AS minutes
    FROM (SELECT *, account.century(t) AS c
      FROM (SELECT TIMESTAMP '2024-07-15 00:07:00' + to_minutes((30 * n)::INTEGER) AS t FROM range(48) r(n)),
        (VALUES (43.6::DOUBLE, -116.2::DOUBLE), (64.8, -147.6), (-33.9, 151.2), (0, 0)) p(latitude, longitude))`)
  expect(rows).toHaveLength(192)
  for (const { t, latitude, longitude, minutes } of rows) {
    if (Math.abs(minutes) < 2) continue
    expect(minutes > 0, `${t} at ${latitude}, ${longitude}`).toBe(
      isOutsideDaylight(new Date(t), latitude, longitude),
    )
  }
})
