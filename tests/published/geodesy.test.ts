/**
 * Geodesics: C. F. F. Karney, GeographicLib, tests/geodtest.cpp, tests/CMakeLists.txt and manual pages; the line of the
 * Vincenty worked example (national survey of Australia). Grid references: the same tests. Formats: Bureau of Land
 * Management, National Aviation Plan Appendix 4, in "2011 Policy and Aviation Contract Language References Regarding
 * Appropriate Latitude Longitude Datum and Format".
 */
import { DuckDBInstance } from '@duckdb/node-api'
import geodesic from 'geographiclib-geodesic'
import { describe, expect, test } from 'vitest'
import {
  distanceMetres,
  formatPosition,
  readAngle,
  readPosition,
  valueMacros,
} from '../../src/values/index.ts'
import { mgrsCentre } from '../../src/values/position.ts'
import { fromUtm, toUtm } from '../../src/values/utm.ts'
import fc from '../chance.ts'

const dms = (d: number, m: number, s: number) => Math.sign(d) * (Math.abs(d) + m / 60 + s / 3600)
const published: [string, [number, number, number, number], number][] = [
  ['40.6,-73.8 to 49°01′N 2°33′E', [40.6, -73.8, 49 + 1 / 60, 2.55], 5853226],
  [
    '40:38:23N 073:46:44W to 01:21:33N 103:59:22E',
    [dms(40, 38, 23), -dms(73, 46, 44), dms(1, 21, 33), dms(103, 59, 22)],
    15347628,
  ],
  ['geodtest case 1', [35.60777, -139.44815, -11.17491, -69.95921], 8935244.56048183],
  ['longitude wrap', [0, 539, 0, 181], 222639],
  [
    'Vincenty test line',
    [dms(-37, 57, 3.7203), dms(144, 25, 29.5244), dms(-37, 39, 10.1561), dms(143, 55, 35.3839)],
    54972.271,
  ],
]

describe('distances', () => {
  test.each(published)('%s', (_, line, metres) => {
    expect(Math.abs(distanceMetres(...line) - metres) / metres).toBeLessThan(1e-4)
  })

  test('within 0.01 % of GeographicLib up to 100 NM, and the SQL macro agrees', async () => {
    const geod = geodesic.Geodesic.WGS84
    const lines: [number, number, number, number][] = []
    fc.assert(
      fc.property(
        fc.double({ min: -80, max: 80, noNaN: true }),
        fc.double({ min: -180, max: 180, noNaN: true }),
        fc.double({ min: 0, max: 360, noNaN: true }),
        fc.double({ min: 10, max: 185_200, noNaN: true }),
        (latitude, longitude, azimuth, metres) => {
          const end = geod.Direct(latitude, longitude, azimuth, metres)
          lines.push([latitude, longitude, end.lat2!, end.lon2!])
          expect(
            Math.abs(distanceMetres(latitude, longitude, end.lat2!, end.lon2!) - metres) / metres,
          ).toBeLessThan(1e-4)
        },
      ),
      { numRuns: 500 },
    )
    const connection = await (await DuckDBInstance.create(':memory:')).connect()
    await connection.run('CREATE SCHEMA val')
    for (const statement of valueMacros) await connection.run(statement)
    const rows = await connection.runAndReadAll(
      `SELECT val.distance_nm(a, b, c, d) FROM (VALUES ${lines
        .slice(0, 50)
        .map((line) => `(${line.map((value) => `CAST('${value}' AS DOUBLE)`).join(', ')})`)
        .join(', ')}) line(a, b, c, d)`,
    )
    for (const [i, [nm]] of rows.getRows().entries())
      expect(nm).toBeCloseTo(distanceMetres(...lines[i]!) / 1852, 9)
    connection.closeSync()
  })

  test('the same place is at no distance', () => {
    expect(distanceMetres(43.01, -115, 43.01, -115)).toBe(0)
  })
})

describe('grids', () => {
  test('38SMB has its centre at 32d59′14.1″N 044d27′53.4″E; 33.3 44.4 is in 38SMB4484, by metres 38SMB4414084706', () => {
    const centre = mgrsCentre('38SMB')
    expect(centre.ok && Math.abs(centre.value.latitude - dms(32, 59, 14.1)) < 0.05 / 3600 + 1e-9).toBe(true)
    expect(centre.ok && Math.abs(centre.value.longitude - dms(44, 27, 53.4)) < 0.05 / 3600 + 1e-9).toBe(true)
    const utm = toUtm(33.3, 44.4, 38)
    expect(Math.floor(utm.easting)).toBe(444140)
    expect(Math.floor(utm.northing)).toBe(3684706)
    const square = readPosition('38SMB4484')
    expect(
      square.ok &&
        Math.abs(square.value.latitude - 33.3) < 0.005 &&
        Math.abs(square.value.longitude - 44.4) < 0.006,
    ).toBe(true)
    const metre = readPosition('38SMB4414084706')
    expect(metre.ok && distanceMetres(metre.value.latitude, metre.value.longitude, 33.3, 44.4)).toBeLessThan(
      0.71,
    )
  })

  test('on the central meridian the northing is the meridian arc times 0.9996, both ways', () => {
    for (const latitude of [-60, -38.3, -1, 12, 43, 71]) {
      const arc = geodesic.Geodesic.WGS84.Inverse(0, -117, latitude, -117).s12!
      const { northing, easting } = toUtm(latitude, -117, 11)
      expect(easting).toBeCloseTo(500_000, 6)
      expect(northing).toBeCloseTo((latitude < 0 ? 10_000_000 : 0) + Math.sign(latitude) * arc * 0.9996, 4)
    }
  })

  test('UTM there and back', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -79, max: 83, noNaN: true }),
        fc.double({ min: -120, max: -114, noNaN: true }),
        (latitude, longitude) => {
          const { easting, northing } = toUtm(latitude, longitude, 11)
          const back = fromUtm(11, latitude < 0, easting, northing)
          expect(back.latitude).toBeCloseTo(latitude, 9)
          expect(back.longitude).toBeCloseTo(longitude, 9)
        },
      ),
    )
  })
})

describe('notations', () => {
  const position = { latitude: 64.84052, longitude: -147.60437 }

  test('the worked triple: decimal degrees, degrees and decimal minutes, degrees-minutes-seconds', () => {
    expect(formatPosition(position, 'DD')).toBe('N 64.84052° W 147.60437°')
    expect(formatPosition(position, 'DDM')).toBe('N 64° 50.431′ W 147° 36.262′')
    expect(formatPosition(position, 'DMS')).toBe('N 64° 50′ 25.9″ W 147° 36′ 15.7″')
    for (const notation of ['DD', 'DDM', 'DMS'] as const) {
      const read = readPosition(formatPosition(position, notation))
      expect(
        read.ok &&
          distanceMetres(read.value.latitude, read.value.longitude, position.latitude, position.longitude),
      ).toBeLessThan(2)
    }
  })

  test('60.000′ and 60.0″ carry', () => {
    expect(formatPosition({ latitude: 42.9999999, longitude: -114.9999999 }, 'DDM')).toBe(
      'N 43° 00.000′ W 115° 00.000′',
    )
    expect(formatPosition({ latitude: 42.9999999, longitude: -114.9999999 }, 'DMS')).toBe(
      'N 43° 00′ 00.0″ W 115° 00′ 00.0″',
    )
  })

  test('7:33:36 is exactly 7.56; 5 60 and 5 70.0 are refused, 5 59, 5 60. and 5 60.0 pass (GeographicLib, DMS tests)', () => {
    expect(readAngle('7:33:36', { axis: 'lat' })).toEqual({ ok: true, value: 7.56 })
    const passes = ['5d60', '5d70.0', '5d59', '5d60.', '5d60.0', '5d.'].map(
      (text) => readAngle(text, { axis: 'lat' }).ok,
    )
    expect(passes).toEqual([false, false, true, true, true, false])
  })
})
