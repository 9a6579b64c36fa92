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
  const places = [
    [43.6, -116.2],
    [64.8, -147.6],
    [-33.9, 151.2],
    [0, 0],
  ] as const
  for (const [latitude, longitude] of places) {
    for (let hour = 0; hour < 48; hour++) {
      const time = new Date(Date.UTC(2024, 6, 15, 0, hour * 30 + 7)).toISOString()
      const minutes = await darkMinutes(time.slice(0, 19), latitude, longitude)
      if (Math.abs(minutes) < 2) continue
      expect(minutes > 0, `${time} at ${latitude}, ${longitude}`).toBe(
        isOutsideDaylight(new Date(time), latitude, longitude),
      )
    }
  }
})
