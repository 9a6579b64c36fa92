import { Decimal } from 'decimal.js'
import { expect, test } from 'vitest'
import {
  callNumberKey,
  compareMoney,
  editDistance,
  fireNumberKey,
  mulRound,
  normalizeAircraft,
  positionTrouble,
  registrationWithoutNation,
  subtractMoney,
  suggest,
  sumMoney,
  ticketKey,
} from '../../src/values/index.ts'
import fc from '../chance.ts'
import { openValues } from './duck.ts'

const duck = await openValues()

test('aircraft, tickets and fire numbers are compared by keys', () => {
  expect(['n-123 az', 'N123AZ', ' N123az '].map(normalizeAircraft)).toEqual(['N123AZ', 'N123AZ', 'N123AZ'])
  expect(['N123AZ', 'C-FABC', 'D-EFGH', 'TANKER'].map(registrationWithoutNation)).toEqual([
    '123AZ',
    'FABC',
    'EFGH',
    null,
  ])
  expect(['T-07', 'TKR 7', 'Tanker 07', '7', '007', 't7a', 'TNKR-7'].map(callNumberKey)).toEqual([
    '7',
    '7',
    '7',
    '7',
    '7',
    '7A',
    '7',
  ])
  expect(fireNumberKey('id-bof 000123')).toBe('IDBOF000123')
})

test('a ticket has one key, in TypeScript and in SQL', async () => {
  const cases: [string, string | null][] = [
    ['00123', '123'],
    ['123', '123'],
    [' No. 123 ', '123'],
    ['TKT-00123', '123'],
    ['ticket #123', '123'],
    ['A-00 12', 'A12'],
    ['a12', 'A12'],
    ['T-0045', 'T45'],
    ['t\u00a045', 'T45'],
    ['T45', 'T45'],
    ['T–4500', 'T4500'],
    ['A0B0012', 'AB0012'],
    ['2026/00045', '202600045'],
    ['1050', '1050'],
    ['000', '0'],
    ['A000', 'A0'],
    ['NOON-7', 'NOON7'],
    [' - ', null],
    ['', null],
  ]
  expect(cases.map(([text]) => [text, ticketKey(text)])).toEqual(cases)
  const texts = cases.map(([text]) => text)
  const keys = await duck.over('val.ticket_key(x)', texts)
  expect(texts.map((text, i) => [text, keys[i]])).toEqual(cases)
})

test('the key of an aircraft name is the same in SQL', async () => {
  const texts = ['n-123 az', ' N123az ', 'C–FABC', 'D.EF/GH', 'ñ-1', '--', '']
  expect(await duck.over('val.name_key(x)', texts)).toEqual(texts.map(normalizeAircraft))
})

test('edit distance counts a swap of neighbours as one', () => {
  expect(
    [
      ['', 'abc'],
      ['abc', 'abc'],
      ['abc', 'acb'],
      ['kitten', 'sitting'],
      ['ab', 'ba'],
    ].map(([a, b]) => editDistance(a!, b!)),
  ).toEqual([3, 0, 1, 3, 1])
  fc.assert(
    fc.property(fc.string({ maxLength: 8 }), fc.string({ maxLength: 8 }), (a, b) => {
      expect(editDistance(a, b)).toBe(editDistance(b, a))
      expect(editDistance(a, b) === 0).toBe(a === b)
      expect(editDistance(a, b)).toBeLessThanOrEqual(Math.max(a.length, b.length))
    }),
  )
})

test('a misspelt name is taken as meant only if it is clearly the best', () => {
  const fires = ['Juniper Ridge', 'Juniper Flat', 'Cold Spring', 'Saddle Butte']
  const clear = (text: string) => {
    const found = suggest(text, fires)
    return found?.clear ? found.best : null
  }
  expect(
    ['Cold Sprng', 'COLD SPRING FIRE', 'Spring Cold', 'Sadle Butte', 'saddle', 'Juniper Rigde'].map(clear),
  ).toEqual(['Cold Spring', 'Cold Spring', 'Cold Spring', 'Saddle Butte', 'Saddle Butte', 'Juniper Ridge'])
  expect(['Juniper', 'Elsewhere', 'J', ''].map(clear)).toEqual([null, null, null, null])
  expect(suggest('x', [])).toBeNull()
})

test('money is exact', () => {
  expect([
    mulRound('1.005', '1'),
    mulRound('0.125', '0.1'),
    mulRound('2.10', '3000'),
    mulRound('-2.675', '1'),
  ]).toEqual(['1.01', '0.01', '6300.00', '-2.68'])
  expect(sumMoney(['0.10', '0.20', '-0.05'])).toBe('0.25')
  expect(subtractMoney('1', '2.5')).toBe('-1.50')
  expect([compareMoney('1.10', '1.1'), compareMoney('-1', '1'), compareMoney('10', '9.99')]).toEqual([
    0, -1, 1,
  ])
  expect(() => mulRound('1e3', '1')).toThrow("'1e3' is not a plain decimal number")
  // Against decimal.js, an independent decimal arithmetic.
  const number = fc
    .tuple(fc.integer({ min: -1e9, max: 1e9 }), fc.integer({ min: 0, max: 6 }))
    .map(([digits, places]) => new Decimal(digits).div(10 ** places).toFixed(places))
  fc.assert(
    fc.property(number, number, (price, quantity) => {
      const expected = new Decimal(price).times(quantity).toFixed(2, Decimal.ROUND_HALF_UP)
      expect(mulRound(price, quantity)).toBe(expected.replace(/^-(0\.00)$/, '$1'))
    }),
  )
  fc.assert(
    fc.property(
      fc.array(fc.bigInt({ min: -(10n ** 15n), max: 10n ** 15n }), { maxLength: 20 }),
      (amounts) => {
        const texts = amounts.map((amount) => mulRound(String(amount), '0.01'))
        expect(sumMoney(texts)).toBe(mulRound(String(amounts.reduce((a, b) => a + b, 0n)), '0.01'))
      },
    ),
  )
})

test('what is wrong with a position', () => {
  const region = { south: 31, north: 49, west: -125, east: -102 }
  const trouble = (latitude: number, longitude: number) => positionTrouble({ latitude, longitude }, region)
  expect([
    trouble(43, -115),
    trouble(0, 0),
    trouble(-115, 43),
    trouble(43, 115),
    trouble(115, 43),
    trouble(10, 10),
  ]).toEqual([null, 'zero', 'swapped', 'missing-sign', 'swapped', 'out-of-region'])
})
