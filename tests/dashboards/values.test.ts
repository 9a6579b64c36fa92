import {
  Decimal,
  Field,
  Float64,
  Int64,
  List,
  Table,
  TimestampMicrosecond,
  tableToIPC,
  Utf8,
  vectorFromArray,
} from 'apache-arrow'
import { expect, test } from 'vitest'
import { changeAddress, readAddress, writeAddress } from '../../dashboards/address.ts'
import { quantile } from '../../dashboards/charts/words.ts'
import { addMoney } from '../../dashboards/pages/money.ts'
import { csvOf } from '../../dashboards/parts/csv.ts'
import { aboveFolder, folderOf } from '../../dashboards/paths.ts'
import { rowsOfArrow } from '../../dashboards/rows.ts'
import { clockIn, timeText } from '../../dashboards/times.ts'
import { figure, money, quantity, shown, threeFigures } from '../../dashboards/units.ts'
import fc from '../chance.ts'
import { arrowOf } from './fixture-server.ts'

test('an address is read as it was written', () => {
  const text = fc
    .string({ minLength: 1, maxLength: 12 })
    .map((value) => value.trim())
    .filter(Boolean)
  fc.assert(
    fc.property(
      fc.record({ season: text, fire: text, base: text }, { requiredKeys: [] }),
      fc.record({ as_of: text, per_day: text, done: text }, { requiredKeys: [] }),
      fc.constantFrom('us', 'metric' as const),
      fc.constantFrom('UTC', 'America/Boise', 'Australia/Perth'),
      fc.option(text),
      (filters, plan, units, zone, evidence) => {
        const address = { page: 'fires', filters, plan, units: units as 'us', zone, evidence }
        const [search, hash] = writeAddress(address).split('#')
        expect(readAddress(search!, `#${hash}`)).toEqual(address)
      },
    ),
  )
})

test('an address that makes no sense shows the season in UTC', () => {
  expect(readAddress('?zone=Nowhere/Land&units=cubits', '')).toEqual({
    page: 'season',
    filters: {},
    plan: {},
    units: 'us',
    zone: 'UTC',
    evidence: null,
  })
})

test('a filter set to nothing leaves the address', () => {
  const address = readAddress('?fire=F-1&base=JUN', '#/fires')
  expect(writeAddress(changeAddress(address, { filters: { fire: null } }))).toBe('?base=JUN#/fires')
})

test('what travels as Arrow arrives as plain cells', () => {
  const rows = [
    {
      text: 'a',
      list: ['crew', 'ticket'],
      number: 1.5,
      flag: true,
      at: { time: '2026-07-04T18:30:20Z' },
      on: { day: '2026-07-04' },
      sum: { money: '-12.05' },
    },
    { text: null, list: null, number: null, flag: null, at: null, on: null, sum: null },
  ]
  expect(rowsOfArrow(arrowOf(rows))).toEqual([
    {
      text: 'a',
      list: ['crew', 'ticket'],
      number: 1.5,
      flag: true,
      at: '2026-07-04T18:30:20Z',
      on: '2026-07-04',
      sum: '-12.05',
    },
    { text: null, list: null, number: null, flag: null, at: null, on: null, sum: null },
  ])
})

test('other widths of the same things are read too', () => {
  const table = new Table({
    count: vectorFromArray([12n, null], new Int64()),
    at: vectorFromArray([Date.UTC(2026, 6, 4, 18, 30, 20, 250), null], new TimestampMicrosecond()),
    nothing: vectorFromArray([Number.NaN, 2], new Float64()),
    none: vectorFromArray([[], ['x']], new List(new Field('item', new Utf8()))),
    big: vectorFromArray([Uint32Array.from([0xffffffff, 0xffffffff, 0, 0]), null], new Decimal(0, 38, 128)),
  })
  expect(rowsOfArrow(tableToIPC(table, 'stream'))).toEqual([
    { count: 12, at: '2026-07-04T18:30:20.250Z', nothing: null, none: [], big: '18446744073709551615' },
    { count: null, at: null, nothing: 2, none: ['x'], big: null },
  ])
})

/** NIST Handbook 44 (2024), Appendix C: 1 gal = 3.785 411 784 L exactly; 1 ft = 0.3048 m; 1 nautical mile = 1.852 km. */
test('metric values stand by the published factors', () => {
  expect(shown(1, 'volume', 'metric')).toBe(3.785411784)
  expect(shown(1, 'length', 'metric')).toBe(0.3048)
  expect(shown(1, 'distance', 'metric')).toBe(1.852)
  expect(shown(2000 / 3.785411784, 'volume', 'metric')).toBe(2000)
  expect(shown(5000 / 3.785411784, 'volume', 'metric')).toBe(5000)
  // 1 gal per 100 sq ft, from the same factors: 3.785411784 L over 9.290304 m2.
  expect(shown(1, 'coverage', 'metric')).toBeCloseTo(3.785411784 / (100 * 0.3048 ** 2), 12)
  expect(quantity(2850, 'volume', 'us')).toBe('2,850\u00a0gal')
  expect(figure(-0.2, 'volume', 'us')).toBe('0')
  expect(figure(-42, 'volume', 'us')).toBe('−42')
  expect(figure(null, 'volume', 'us')).toBe('—')
  expect(figure(Number.NaN, 'volume', 'us')).toBe('—')
})

test('a column that mixes measures shows three figures at least', () => {
  expect([1068.68, -297.2, 84.51, 1.639, 0.02934, -0.0004712, 0].map(threeFigures)).toEqual([
    '1,069',
    '−297',
    '84.5',
    '1.64',
    '0.0293',
    '−0.000471',
    '0',
  ])
})

test('paths are told apart by what they do not share', () => {
  expect(folderOf(['/logs/a/1.csv', '/logs/b/2.csv'])).toBe('/logs/')
  expect(folderOf(['/logs/1.csv', '/other/2.csv'])).toBe('/')
  expect(folderOf(['/logs/1.csv', 'came-by-itself.csv'])).toBe('')
  expect(folderOf(['one.csv'])).toBe('')
  expect([aboveFolder('/logs/a/1.csv'), aboveFolder('a/1.csv'), aboveFolder('1.csv')]).toEqual([
    '/logs/',
    '',
    '',
  ])
})

test('money keeps every cent', () => {
  expect(money('-9007199254740993.1')).toBe('−9,007,199,254,740,993.10')
  expect(money(null)).toBe('—')
  expect(addMoney(['0.10', '0.20', null, '-0.05'])).toBe('0.25')
  expect(addMoney(['-0.01'])).toBe('-0.01')
  expect(addMoney([])).toBe('0.00')
  fc.assert(
    fc.property(fc.array(fc.bigInt({ min: -(10n ** 15n), max: 10n ** 15n })), (list) => {
      const text = (cents: bigint): string => {
        const digits = (cents < 0n ? -cents : cents).toString().padStart(3, '0')
        return `${cents < 0n ? '-' : ''}${digits.slice(0, -2)}.${digits.slice(-2)}`
      }
      expect(addMoney(list.map(text))).toBe(text(list.reduce((sum, cents) => sum + cents, 0n)))
    }),
  )
})

test('times show the clock of the zone, across its change', () => {
  expect(timeText('2026-07-04T18:30:20Z', 'America/Boise')).toBe('2026-07-04 12:30:20')
  expect(timeText('2026-12-04T18:30:00Z', 'America/Boise')).toBe('2026-12-04 11:30')
  expect(timeText(null, 'UTC')).toBe('—')
  expect(clockIn('2026-07-05T02:00:00Z', 'America/Los_Angeles')).toMatchObject({
    day: '2026-07-04',
    hour: 19,
  })
})

test('a CSV cell that begins like a formula cannot run, and a negative number stays one', () => {
  const text = csvOf(
    ['a', 'b'],
    [
      { a: '=1+1', b: '-5.20' },
      { a: 'x,"y"', b: -3 },
      { a: '@SUM', b: null },
    ],
  )
  expect(text).toBe('a,b\r\n\'=1+1,-5.20\r\n"x,""y""",-3\r\n\'@SUM,\r\n')
})

/** Hyndman and Fan, Sample Quantiles in Statistical Packages, The American Statistician 50 (1996): definition 7, by its formula. */
test('percentiles are of type 7', () => {
  expect(quantile([1, 2, 3, 4], 0.25)).toBe(1.75)
  expect(quantile([4, 1, 3, 2], 0.5)).toBe(2.5)
  expect(quantile([], 0.5)).toBe(null)
})
