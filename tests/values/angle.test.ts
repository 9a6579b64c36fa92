import { expect, test } from 'vitest'
import {
  type Axis,
  formatDecimalDegrees,
  formatDegreesMinutes,
  formatDegreesMinutesSeconds,
  readAngle,
  readPair,
  readPosition,
  sqlValue,
} from '../../src/values/index.ts'
import fc from '../chance.ts'
import { openValues } from './duck.ts'

const duck = await openValues()

const angles: [string, Axis, number | null][] = [
  ['43.01', 'lat', 43.01],
  ['-43.01', 'lat', -43.01],
  ['+43.01', 'lat', 43.01],
  ['43', 'lat', 43],
  ['0', 'lat', 0],
  ['-0.5', 'lat', -0.5],
  ['90', 'lat', 90],
  ['90.0', 'lat', 90],
  ['−115.0', 'lon', -115],
  ["N 43° 00.600'", 'lat', 43.01],
  ['43-00.6N', 'lat', 43.01],
  ['43 00 36 N', 'lat', 43.01],
  ['43 00.6', 'lat', 43.01],
  ['43:00:36', 'lat', 43.01],
  ['43°00′36″N', 'lat', 43.01],
  ['43º 00’ 36” N', 'lat', 43.01],
  [`43° 00' 36" N`, 'lat', 43.01],
  [`43° 00' 36'' N`, 'lat', 43.01],
  ['43d00.6N', 'lat', 43.01],
  ['43 deg 00.6 min N', 'lat', 43.01],
  ['43deg 00min 36sec N', 'lat', 43.01],
  ['N43 00.6', 'lat', 43.01],
  ['n43.01', 'lat', 43.01],
  ['43.01°', 'lat', 43.01],
  ['43.01 N', 'lat', 43.01],
  ['43.01° N', 'lat', 43.01],
  ['Lat: 43.01', 'lat', 43.01],
  ['43\u00a000.6', 'lat', 43.01],
  [' 43.01 ', 'lat', 43.01],
  ['43°N', 'lat', 43],
  ['-43 00.6', 'lat', -43.01],
  ['-0 30', 'lat', -0.5],
  ['S 0 30', 'lat', -0.5],
  ['-43.01 S', 'lat', -43.01],
  ['4300.6N', 'lat', 43.01],
  ['430036N', 'lat', 43.01],
  ['N4300.6', 'lat', 43.01],
  ['4300N', 'lat', 43],
  ['11500.0W', 'lon', -115],
  ['1150036W', 'lon', -115.01],
  ['W115.0', 'lon', -115],
  ['-115.0 W', 'lon', -115],
  ['115 00.0 W', 'lon', -115],
  ["W 147° 36.262'", 'lon', -(147 + 36.262 / 60)],
  ['180', 'lon', 180],
  ['180° 00.0′ W', 'lon', -180],
  ['Long 115.0W', 'lon', -115],
  // Degrees and decimal minutes have a way of their own in SQL: its edges.
  [`43° 00.600' N`, 'lat', 43.01],
  [`43°0.6'N`, 'lat', 43.01],
  [`089° 59.999' S`, 'lat', -(89 + 59.999 / 60)],
  [`0° 00.0' S`, 'lat', 0],
  [`5° 60.0' N`, 'lat', 6],
  [`90° 00.0' N`, 'lat', 90],
  [`90° 00.1' N`, 'lat', null],
  [`43° 70.0' N`, 'lat', null],
  [`43° 00.6' W`, 'lat', null],
  [`-43° 00.6' N`, 'lat', null],
  [`117° 01.076' W`, 'lon', -(117 + 1.076 / 60)],
  [`7° 30.0'E`, 'lon', 7.5],
  [`179° 59.9' W`, 'lon', -(179 + 59.9 / 60)],
  [`180° 00.0' W`, 'lon', -180],
  [`180° 00.1' W`, 'lon', null],
  [`43° 00.6' N`, 'lon', null],
  // A decimal 60 is what rounding leaves, and carries; a whole 60 is an error.
  ['5 60.0', 'lat', 6],
  ['5 60.', 'lat', 6],
  ['5 59 60.0', 'lat', 6],
  ['5 60', 'lat', null],
  ['5 70.0', 'lat', null],
  ['5 10 60', 'lat', null],
  ['5 60 10', 'lat', null],
  ['90.1', 'lat', null],
  ['91', 'lat', null],
  ['90 00.1', 'lat', null],
  ['95', 'lat', null],
  ['180.5', 'lon', null],
  ['181 W', 'lon', null],
  ['-43 N', 'lat', null],
  ['+115 W', 'lon', null],
  ['N43N', 'lat', null],
  ['N 43 S', 'lat', null],
  ['43 E', 'lat', null],
  ['115 N', 'lon', null],
  ['43.5 30', 'lat', null],
  ['43 30.5 10', 'lat', null],
  ['4300.6', 'lat', null],
  ['43.', 'lat', null],
  ['abc', 'lat', null],
  ['', 'lat', null],
  ['-', 'lat', null],
  ['NaN', 'lat', null],
  ['1e1', 'lat', null],
  ['43 00 36 12', 'lat', null],
  ['43,01', 'lat', null],
  ['43-', 'lat', null],
]

test('every notation of an angle reads alike in TypeScript and SQL', async () => {
  for (const axis of ['lat', 'lon'] as const) {
    const group = angles.filter((entry) => entry[1] === axis)
    const sql = await duck.over(
      sqlValue.angle('x', { axis }),
      group.map(([text]) => text),
    )
    for (const [i, [text, , expected]] of group.entries()) {
      const read = readAngle(text, { axis })
      for (const value of [read.ok ? read.value : null, sql[i]]) {
        if (expected === null) expect(value, text).toBeNull()
        else expect(value, text).toBeCloseTo(expected, 10)
      }
    }
  }
  expect(readAngle('43,01', { axis: 'lat', decimal: ',' })).toEqual({ ok: true, value: 43.01 })
  expect(
    await duck.over(sqlValue.angle('x', { axis: 'lat', decimal: ',' }), ['43,01', '43° 00,6′ N']),
  ).toEqual([43.01, 43.01])
})

test('degrees and decimal minutes are one number to the last bit in TypeScript and SQL', async () => {
  const written = fc.record({
    degrees: fc.integer({ min: 0, max: 200 }),
    minutes: fc.integer({ min: 0, max: 70 }),
    decimals: fc.stringMatching(/^[0-9]{1,6}$/),
    gap: fc.constantFrom('', ' '),
    letter: fc.constantFrom('N', 'S', 'E', 'W', ''),
  })
  const texts = fc
    .sample(written, 2000)
    .map((one) => `${one.degrees}°${one.gap}${one.minutes}.${one.decimals}'${one.gap}${one.letter}`)
  for (const axis of ['lat', 'lon'] as const) {
    const own = texts.map((text) => readAngle(text, { axis }))
    expect(await duck.over(sqlValue.angle('x', { axis }), texts)).toEqual(
      own.map((read) => (read.ok ? read.value : null)),
    )
    expect(own.filter((read) => read.ok).length).toBeGreaterThan(200)
  }
})

test('reasons are for a person to act on', () => {
  const reason = (text: string, axis: Axis = 'lat') => {
    const read = readAngle(text, { axis })
    return read.ok ? null : read.reason
  }
  expect(reason('43 70.0 N')).toBe('minutes must be below 60')
  expect(reason('43 10 61')).toBe('seconds must be below 60')
  expect(reason('-43 N')).toBe('sign and hemisphere letter contradict each other')
  expect(reason('N43N')).toBe('two hemisphere letters')
  expect(reason('95')).toBe('latitude is beyond 90 degrees')
  expect(reason('115 W')).toBe('a longitude where a latitude belongs')
  expect(reason('43.5 30')).toBe('only the last part may have decimals')
})

test('both faces agree on arbitrary text', async () => {
  const texts = fc.sample(
    fc.string({ unit: fc.constantFrom(...'0123456789  .-°\'NSEWd+:"'), maxLength: 12 }),
    1500,
  )
  for (const axis of ['lat', 'lon'] as const) {
    const sql = await duck.over(sqlValue.angle('x', { axis }), texts)
    const own = texts.map((text) => readAngle(text, { axis }))
    for (const [i, text] of texts.entries()) {
      const value = own[i]!.ok ? own[i]!.value : null
      if (value === null || sql[i] === null) expect([text, sql[i]]).toEqual([text, value])
      else expect(Math.abs((sql[i] as number) - value), text).toBeLessThan(1e-12)
    }
  }
})

const pairs: [string, number | null, number | null][] = [
  ['43.01, -115.0', 43.01, -115],
  ['43.01,-115.0', 43.01, -115],
  ['43.01 -115.0', 43.01, -115],
  ['43.01;-115.0', 43.01, -115],
  ['43.01 / -115.0', 43.01, -115],
  ['43.01 , -115.0', 43.01, -115],
  ['N43 00.6 W115 00.0', 43.01, -115],
  ['43 00.6N 115 00.0W', 43.01, -115],
  ['43-00.6N/115-00.0W', 43.01, -115],
  ['W115 00.0 N43 00.6', 43.01, -115],
  ['115 00.0W, 43 00.6N', 43.01, -115],
  ['43 00.6 -115 00.0', 43.01, -115],
  ['43 00 36 -115 00 00', 43.01, -115],
  [`43° 00' 36" N 115° 00' 00" W`, 43.01, -115],
  ['43 deg 00.6 min N 115 deg 00.0 min W', 43.01, -115],
  ['4300.6N 11500.0W', 43.01, -115],
  ['N43.01W115.0', 43.01, -115],
  ['95.0, -115.0', null, -115],
  ['43.01', null, null],
  ['', null, null],
  ['43.01, -115.0, 7', null, null],
  ['here', null, null],
]

test('both coordinates in one cell read alike in TypeScript and SQL', async () => {
  const texts = pairs.map(([text]) => text)
  const [lat, lon] = [
    await duck.over(sqlValue.pairLat('x'), texts),
    await duck.over(sqlValue.pairLon('x'), texts),
  ]
  for (const [i, [text, latitude, longitude]] of pairs.entries()) {
    const read = readPair(text)
    expect(read.ok, text).toBe(latitude !== null && longitude !== null)
    const expectations: [unknown, number | null][] = [
      [lat[i], latitude],
      [lon[i], longitude],
    ]
    if (read.ok) expectations.push([read.value.latitude, latitude], [read.value.longitude, longitude])
    for (const [value, expected] of expectations) {
      if (expected === null) expect(value, text).toBeNull()
      else expect(value, text).toBeCloseTo(expected, 10)
    }
  }
  expect(readPair('43,01; -115,0', { decimal: ',' })).toEqual({
    ok: true,
    value: { latitude: 43.01, longitude: -115 },
  })
})

test('what a format writes, the reader reads, to the last written digit', () => {
  const formats: [(degrees: number, axis: Axis) => string, number][] = [
    [formatDecimalDegrees, 0.51e-5],
    [formatDegreesMinutes, 0.51e-3 / 60],
    [formatDegreesMinutesSeconds, 0.051 / 3600],
  ]
  fc.assert(
    fc.property(
      fc.constantFrom<Axis>('lat', 'lon'),
      fc.double({ min: -1, max: 1, noNaN: true }),
      fc.constantFrom(...formats),
      (axis, share, [format, error]) => {
        const degrees = share * (axis === 'lat' ? 90 : 180)
        const read = readAngle(format(degrees, axis), { axis })
        expect(read.ok, format(degrees, axis)).toBe(true)
        if (read.ok) expect(Math.abs(read.value - degrees)).toBeLessThan(error)
      },
    ),
  )
})

test('UTM and MGRS texts: grid letters, sizes and refusals', () => {
  const near = (text: string, latitude: number, longitude: number) => {
    const read = readPosition(text)
    expect(read.ok, text).toBe(true)
    if (read.ok)
      expect(
        [Math.abs(read.value.latitude - latitude) < 1e-5, Math.abs(read.value.longitude - longitude) < 1e-5],
        text,
      ).toEqual([true, true])
  }
  for (const text of [
    '11T 500000 4761155',
    '11T 500000mE 4761155mN',
    '11N 500000 4761155',
    '11TNH0000061155',
    '11T NH 00000 61155',
  ])
    near(text, 43.00306, -117)
  near('11S 500000 3762155', 34.0, -117)
  const south = readPosition('55S 500000 5761155')
  expect(south.ok && south.value.latitude < -38 && south.value.latitude > -39).toBe(true)
  const reason = (text: string) => {
    const read = readPosition(text)
    return read.ok ? null : read.reason
  }
  expect(reason('11TNH')).toBe('MGRS square is coarser than 1 km')
  expect(reason('11TNH06')).toBe('MGRS square is coarser than 1 km')
  expect(reason('11TNH000')).toBe('MGRS needs as many digits for the easting as for the northing')
  expect(reason('61T 500000 4761155')).toBe('UTM zone is not between 1 and 60')
  expect(reason('11T 50000 4761155')).toBe('easting is outside 100,000 to 900,000 m')
  expect(reason('11T 500000 1761155')).toBe('northing is not in latitude band T')
  expect(reason('somewhere')).toBe('not a latitude and longitude')
})
