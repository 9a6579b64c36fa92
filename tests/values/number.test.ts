import { describe, expect, test } from 'vitest'
import {
  type Decimal,
  isBlank,
  type Read,
  readMeasure,
  readNumber,
  sqlValue,
  tidy,
  type Unit,
} from '../../src/values/index.ts'
import fc from '../chance.ts'
import { openValues } from './duck.ts'

const duck = await openValues()
const found = <T>(read: Read<T>): T | null => (read.ok ? read.value : null)

const tidyCases: [string | null, string | null][] = [
  [null, null],
  ['', null],
  ['  ', null],
  ['\u00a0', null],
  ['-', null],
  [' — ', null],
  ['n/a', null],
  ['N/A', null],
  ['NA', null],
  ['#N/A', null],
  ['null', null],
  ['0', '0'],
  ['none', 'none'],
  ['nil', 'nil'],
  ['unknown', 'unknown'],
  ['NAB', 'NAB'],
  ['--x', '--x'],
  ['a', 'a'],
  [' a  b ', 'a b'],
  ['a\u00a0b', 'a b'],
  ['\ufeffa', 'a'],
  ['a\tb\n', 'a b'],
  ['1\u2009234', '1 234'],
  ['a\u200b', 'a'],
  ['Ünïcode', 'Ünïcode'],
]

test('tidy: odd spaces become plain, blanks and placeholders become null, in both faces', async () => {
  expect(tidyCases.map(([text]) => tidy(text))).toEqual(tidyCases.map(([, expected]) => expected))
  expect(
    await duck.over(
      sqlValue.tidy('x'),
      tidyCases.map(([text]) => text),
    ),
  ).toEqual(tidyCases.map(([, expected]) => expected))
  expect(isBlank(' — ')).toBe(true)
  expect(isBlank('0')).toBe(false)
})

const numbers: [string, Decimal, number | null][] = [
  ['2850', '.', 2850],
  ['2,850', '.', 2850],
  ['2 850', '.', 2850],
  ['2\u00a0850', '.', 2850],
  ["2'850", '.', 2850],
  ['2’850.5', '.', 2850.5],
  ['1,234,567.25', '.', 1234567.25],
  ['+5', '.', 5],
  ['-5', '.', -5],
  ['−5', '.', -5],
  ['–5', '.', -5],
  [' 7 ', '.', 7],
  ['.5', '.', 0.5],
  ['5.', '.', 5],
  ['1.5e3', '.', 1500],
  ['2E2', '.', 200],
  ['0', '.', 0],
  ['-0', '.', 0],
  ['007', '.', 7],
  ['12,34', '.', null],
  ['1,2345', '.', null],
  ['1,234 567', '.', null],
  ['1.234.567', '.', null],
  ['1_000', '.', null],
  ['0x1F', '.', null],
  ['NaN', '.', null],
  ['inf', '.', null],
  ['-Infinity', '.', null],
  ['1e308', '.', null],
  ['1e15', '.', null],
  ['1000000000000000', '.', null],
  ['999999999999999', '.', 999999999999999],
  ['', '.', null],
  ['-', '.', null],
  ['n/a', '.', null],
  ['abc', '.', null],
  ['5 gal', '.', null],
  ['--5', '.', null],
  ['5-', '.', null],
  ['1e', '.', null],
  ['2850,5', ',', 2850.5],
  ['2.850', ',', 2850],
  ['2.850,5', ',', 2850.5],
  ['2 850,5', ',', 2850.5],
  ['1.500', ',', 1500],
  ['1.5', ',', null],
  ['1,5e3', ',', 1500],
  [',5', ',', 0.5],
  ['1.234.567', ',', 1234567],
]

describe('number', () => {
  for (const decimal of ['.', ','] as const) {
    const cases = numbers.filter((entry) => entry[1] === decimal)
    test(`decimal '${decimal}' reads alike in TypeScript and SQL`, async () => {
      const expected = cases.map(([text, , value]) => [text, value])
      expect(cases.map(([text]) => [text, found(readNumber(text, decimal))].map(plusZero))).toEqual(expected)
      const sql = await duck.over(
        sqlValue.number('x', { decimal }),
        cases.map(([text]) => text),
      )
      expect(cases.map(([text], i) => [text, plusZero(sql[i])])).toEqual(expected)
    })
  }

  test('what cannot be read says why', () => {
    expect(readNumber('1e308')).toEqual({ ok: false, reason: 'number is too large' })
    expect(readNumber('12,34')).toEqual({ ok: false, reason: 'digits are not grouped as a number' })
    expect(readNumber('NaN')).toEqual({ ok: false, reason: 'not a finite number' })
    expect(readNumber('abc')).toEqual({ ok: false, reason: 'not a number' })
  })

  test('any number written with thousands is read back', () => {
    fc.assert(
      fc.property(fc.integer({ min: -1e12, max: 1e12 }), (value) => {
        expect(readNumber(value.toLocaleString('en-US'))).toEqual({ ok: true, value })
        expect(readNumber(value.toLocaleString('de-DE'), ',')).toEqual({ ok: true, value })
      }),
    )
  })

  test('both faces agree on arbitrary text', async () => {
    const texts = fc.sample(
      fc.string({ unit: fc.constantFrom(..."0123456789,. -+eE'’galL"), maxLength: 9 }),
      400,
    )
    for (const decimal of ['.', ','] as const) {
      const sql = await duck.over(sqlValue.number('x', { decimal }), texts)
      expect(texts.map((text, i) => [text, plusZero(sql[i])])).toEqual(
        texts.map((text) => [text, plusZero(found(readNumber(text, decimal)))]),
      )
    }
  })
})

function plusZero<T>(value: T): T {
  return (Object.is(value, -0) ? 0 : value) as T
}

const measures: [string, Unit, number | null, number | null][] = [
  ['2,850 gal', 'gal_us', null, 2850],
  ['2850', 'gal_us', null, 2850],
  ['2850GALS', 'gal_us', null, 2850],
  ['2,850 US gal', 'gal_us', null, 2850],
  ['100 USG', 'L', null, 100],
  ['10 800 L', 'gal_us', null, 10800 / 3.785411784],
  ['31 hL', 'gal_us', null, 3100 / 3.785411784],
  ['12 m³', 'gal_us', null, 12000 / 3.785411784],
  ['500 gal', 'gal_imp', null, (500 * 4.54609) / 3.785411784],
  ['500', 'gal_imp', null, (500 * 4.54609) / 3.785411784],
  ['500 imp. gal', 'gal_us', null, (500 * 4.54609) / 3.785411784],
  ['500 US gal', 'gal_imp', null, 500],
  ['500 gal', 'L', null, 500],
  ['8330 lb', 'gal_us', 8.33, 1000],
  ['8330', 'lb', 8.33, 1000],
  ['1000 kg', 'gal_us', 9.03, 1000 / 0.45359237 / 9.03],
  ['8330 lb', 'gal_us', null, null],
  ['8330', 'lb', null, null],
  ['150 m', 'ft', null, 150 / 0.3048],
  ['150', 'm', null, 150 / 0.3048],
  ["200'", 'ft', null, 200],
  ['140 KTS', 'kt', null, 140],
  ['100 km/h', 'kt', null, 100 / 1.852],
  ['100 mph', 'kt', null, (100 * 1.609344) / 1.852],
  ['50 m/s', 'kt', null, (50 * 3.6) / 1.852],
  ['2.5 min', 's', null, 150],
  ['1 h', 's', null, 3600],
  ['3 sec', 's', null, 3],
  ['270°', 'deg', null, 270],
  ['150 m', 'gal_us', null, null],
  ['5 smoots', 'gal_us', null, null],
  ['gal', 'gal_us', null, null],
  ['', 'gal_us', null, null],
  ['-5 gal', 'gal_us', null, -5],
  ['1e3 L', 'L', null, 1000 / 3.785411784],
]

describe('measure', () => {
  test('units written behind the number, declared units and weights read alike in both faces', async () => {
    for (const [text, unit, densityLbPerGal, expected] of measures) {
      const sql = (await duck.over(sqlValue.measure('x', { unit, densityLbPerGal }), [text]))[0]
      for (const value of [found(readMeasure(text, { unit, densityLbPerGal })), sql]) {
        if (expected === null) expect(value, `${text} in ${unit}`).toBeNull()
        else expect(value, `${text} in ${unit}`).toBeCloseTo(expected, 9)
      }
    }
  })

  test('a density may be an expression of the row', async () => {
    expect(
      await duck.over(
        sqlValue.measure('x', { unit: 'lb', densityLbPerGal: `CASE x WHEN '833' THEN 8.33 END` }),
        ['833', '900'],
      ),
    ).toEqual([100, null])
  })

  test('reasons name the unit', () => {
    expect(readMeasure('150 m', { unit: 'gal_us' })).toEqual({
      ok: false,
      reason: "unit 'm' does not measure volume",
    })
    expect(readMeasure('5 smoots', { unit: 'ft' })).toEqual({
      ok: false,
      reason: "unit 'smoots' is not known",
    })
    expect(readMeasure('9000 lb', { unit: 'gal_us' })).toEqual({
      ok: false,
      reason: 'a weight needs the density of the fluid',
    })
  })
})
