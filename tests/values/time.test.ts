import { describe, expect, test } from 'vitest'
import {
  isZone,
  localDate,
  type Read,
  readDate,
  readTime,
  sqlValue,
  timeFormatTrouble,
  timeTrouble,
  zoneOffset,
  zoneTransitions,
} from '../../src/values/index.ts'
import fc from '../chance.ts'
import { openValues } from './duck.ts'

const duck = await openValues()
const denver = 'America/Denver'
const stamp = (read: Read<Date>): string | null => (read.ok ? read.value.toISOString() : null)
const sqlStamp = (value: unknown): string | null =>
  value === null ? null : new Date(Math.floor(Number(value))).toISOString()

/** Text, formats, UTC result when the zone is America/Denver. */
const cases: [string, string[] | undefined, string | null][] = [
  ['2026-07-04T20:05:00Z', undefined, '2026-07-04T20:05:00.000Z'],
  ['2026-07-04T20:05Z', undefined, '2026-07-04T20:05:00.000Z'],
  ['2026-07-04t20:05z', undefined, '2026-07-04T20:05:00.000Z'],
  ['2026-07-04T20:05:00.5Z', undefined, '2026-07-04T20:05:00.500Z'],
  ['2026-07-04 20:05:00,25 Z', undefined, '2026-07-04T20:05:00.250Z'],
  ['2026-07-04T14:05:00-06:00', undefined, '2026-07-04T20:05:00.000Z'],
  ['2026-07-04T14:05-0600', undefined, '2026-07-04T20:05:00.000Z'],
  ['2026-07-04 14:05:00 -06', undefined, '2026-07-04T20:05:00.000Z'],
  ['2026-07-05T01:35+05:30', undefined, '2026-07-04T20:05:00.000Z'],
  ['2026-07-04 14:05', undefined, '2026-07-04T20:05:00.000Z'],
  ['2026-07-04 14:05:59.123456', undefined, '2026-07-04T20:05:59.123Z'],
  [' 2026-07-04  14:05 ', undefined, '2026-07-04T20:05:00.000Z'],
  ['2026-07-04\u00a014:05', undefined, '2026-07-04T20:05:00.000Z'],
  ['2026-1-5 9:05', undefined, '2026-01-05T16:05:00.000Z'],
  ['2026-07-04 24:00', undefined, '2026-07-05T06:00:00.000Z'],
  ['2026-07-04 24:01', undefined, null],
  ['2026-07-04 25:00', undefined, null],
  ['2026-07-04 14:60', undefined, null],
  ['2026-07-04 14:05:60', undefined, null],
  ['2026-02-30 10:00', undefined, null],
  ['2026-02-29 10:00', undefined, null],
  ['2028-02-29 10:00', undefined, '2028-02-29T17:00:00.000Z'],
  ['2026-13-01 10:00', undefined, null],
  ['2026-07-04', undefined, null],
  ['2026-07-04 14', undefined, null],
  ['0026-07-04 14:05', undefined, null],
  ['2126-07-04 14:05', undefined, null],
  ['2026-07-04 14:05 MDT', undefined, null],
  ['2026-07-04T14:05+19:00', undefined, null],
  ['infinity', undefined, null],
  ['epoch', undefined, null],
  ['', undefined, null],
  ['n/a', undefined, null],
  // Twice-occurring: the first reading, in summer time. Skipped: forward by the gap.
  ['2026-11-01 01:30', undefined, '2026-11-01T07:30:00.000Z'],
  ['2026-11-01 01:30:00-07:00', undefined, '2026-11-01T08:30:00.000Z'],
  ['2026-11-01 02:00', undefined, '2026-11-01T09:00:00.000Z'],
  ['2026-03-08 01:59', undefined, '2026-03-08T08:59:00.000Z'],
  ['2026-03-08 02:30', undefined, '2026-03-08T09:30:00.000Z'],
  ['2026-03-08 03:00', undefined, '2026-03-08T09:00:00.000Z'],
  // Patterns, in order.
  ['07/04/2026 1405', ['%m/%d/%Y %H%M', '%d %b %Y %H:%M'], '2026-07-04T20:05:00.000Z'],
  ['4 JUL 2026 14:05', ['%m/%d/%Y %H%M', '%d %b %Y %H:%M'], '2026-07-04T20:05:00.000Z'],
  [' 07/04/2026\u00a0\u00a01405', ['%m/%d/%Y %H%M'], '2026-07-04T20:05:00.000Z'],
  ['13/04/2026 1405', ['%m/%d/%Y %H%M', '%d/%m/%Y %H%M'], '2026-04-13T20:05:00.000Z'],
  ['04/07/2026 1405', ['%m/%d/%Y %H%M', '%d/%m/%Y %H%M'], '2026-04-07T20:05:00.000Z'],
  ['02/30/2026 0905', ['%m/%d/%Y %H%M'], null],
  ['07/04/26 1405', ['%m/%d/%Y %H%M'], null],
  ['07/04/26 1405', ['%m/%d/%Y %H%M', '%m/%d/%y %H%M'], '2026-07-04T20:05:00.000Z'],
  ['07/04/2026 1465', ['%m/%d/%Y %H%M'], null],
  // A time of day in one run of digits without its leading zero, as crews and spreadsheets write it.
  ['07/04/2026 905', ['%m/%d/%Y %H%M'], '2026-07-04T15:05:00.000Z'],
  ['7/4/2026 905', ['%m/%d/%Y %H%M'], '2026-07-04T15:05:00.000Z'],
  ['7/4/2026 1405', ['%m/%d/%Y %H%M'], '2026-07-04T20:05:00.000Z'],
  ['07/04/2026 0905', ['%m/%d/%Y %H%M'], '2026-07-04T15:05:00.000Z'],
  ['07/04/2026 130', ['%m/%d/%Y %H%M'], '2026-07-04T07:30:00.000Z'],
  ['07/04/2026 145', ['%m/%d/%Y %H%M'], '2026-07-04T07:45:00.000Z'],
  ['07/04/2026 000', ['%m/%d/%Y %H%M'], '2026-07-04T06:00:00.000Z'],
  ['07/04/2026 965', ['%m/%d/%Y %H%M'], null],
  ['07/04/2026 95', ['%m/%d/%Y %H%M'], null],
  ['07/04/2026 9', ['%m/%d/%Y %H%M'], null],
  ['07/04/2026 14050', ['%m/%d/%Y %H%M'], null],
  ['07/04/2026\u00a0 905 ', ['%m/%d/%Y %H%M'], '2026-07-04T15:05:00.000Z'],
  ['905 07/04/2026', ['%H%M %m/%d/%Y'], '2026-07-04T15:05:00.000Z'],
  ['905h 4 Jul 2026', ['%H%Mh %d %b %Y'], '2026-07-04T15:05:00.000Z'],
  ['7/4/2026 905 PM', ['%m/%d/%Y %I%M %p'], '2026-07-05T03:05:00.000Z'],
  ['4 Jul 2026 905Z', ['%d %b %Y %H%MZ'], '2026-07-04T09:05:00.000Z'],
  ['7/4/2026 905 -0600', ['%m/%d/%Y %H%M %z'], '2026-07-04T15:05:00.000Z'],
  // Where other digits touch it, three digits may be split in two ways: nothing is guessed.
  ['04905Z JUL 26', ['%d%H%MZ %b %y'], null],
  ['07/04/2026 90530', ['%m/%d/%Y %H%M%S'], null],
  ['7/4/2026 9:05', ['%m/%d/%Y %H:%M'], '2026-07-04T15:05:00.000Z'],
  ['7/4/26 9:05', ['%m/%d/%y %H:%M'], '2026-07-04T15:05:00.000Z'],
  ['07/04/2026 1405 x', ['%m/%d/%Y %H%M'], null],
  ['7/4/2026 2:05 PM', ['%m/%d/%Y %I:%M %p'], '2026-07-04T20:05:00.000Z'],
  ['7/4/2026 12:05 am', ['%m/%d/%Y %I:%M %p'], '2026-07-04T06:05:00.000Z'],
  ['7/4/2026 13:05 PM', ['%m/%d/%Y %I:%M %p'], null],
  ['July 4 2026 14:05:06', ['%B %d %Y %H:%M:%S'], '2026-07-04T20:05:06.000Z'],
  ['Sat 4 Jul 26 14:05', ['%a %d %b %y %H:%M'], '2026-07-04T20:05:00.000Z'],
  ['2026-185 14:05', ['%Y-%j %H:%M'], '2026-07-04T20:05:00.000Z'],
  ['2026-07-04 14:05:06.5', ['%Y-%m-%d %H:%M:%S.%f'], '2026-07-04T20:05:06.500Z'],
  ['2026-07-04 20:05 +0000', ['%Y-%m-%d %H:%M %z'], '2026-07-04T20:05:00.000Z'],
  ['2026-07-04 14:05 -06:00', ['%Y-%m-%d %H:%M', '%Y-%m-%d %H:%M %z'], '2026-07-04T20:05:00.000Z'],
  ['042005Z JUL 26', ['%d%H%MZ %b %y'], '2026-07-05T02:05:00.000Z'],
  ['04Jul2026 2005Z', ['%d%b%Y %H%MZ'], '2026-07-04T20:05:00.000Z'],
  ['1783195500', ['epoch_s'], '2026-07-04T20:05:00.000Z'],
  ['1783195500250', ['epoch_ms'], '2026-07-04T20:05:00.250Z'],
  ['46207.586805556', ['excel_serial'], '2026-07-04T20:05:00.000Z'],
  ['46207', ['excel_serial'], '2026-07-04T06:00:00.000Z'],
  ['60', ['excel_serial'], null],
  ['abc', ['epoch_s'], null],
  ['-5', ['epoch_s'], null],
  ['99999999999', ['epoch_s'], null],
  ['2026-07-04 14:05', ['excel_serial', '%Y-%m-%d %H:%M'], '2026-07-04T20:05:00.000Z'],
]

describe('time', () => {
  test('every notation reads alike in TypeScript and SQL', async () => {
    for (const formats of new Set(cases.map((entry) => entry[1]?.join('|')))) {
      const group = cases.filter((entry) => entry[1]?.join('|') === formats)
      const options = group[0]![1] === undefined ? {} : { formats: group[0]![1] }
      const expected = group.map(([text, , utc]) => [text, formats, utc])
      expect(
        group.map(([text]) => [text, formats, stamp(readTime(text, { ...options, zone: denver }))]),
        'TypeScript',
      ).toEqual(expected)
      const sql = await duck.over(
        sqlValue.time('x', { ...options, zone: { name: denver } }),
        group.map(([text]) => text),
      )
      expect(
        group.map(([text], i) => [text, formats, sqlStamp(sql[i])]),
        'SQL',
      ).toEqual(expected)
    }
  })

  test('reasons are for a person to act on', () => {
    const reason = (text: string, formats?: string[]) => {
      const read = readTime(text, { formats, zone: denver })
      return read.ok ? null : read.reason
    }
    expect(reason('2026-06-31 10:00')).toBe('day 31 does not exist in June 2026')
    expect(reason('2026-07-04')).toBe('a date without a time')
    expect(reason('2026-07-04 14:60')).toBe('minutes must be below 60')
    expect(reason('07/04/26', ['%m/%d/%Y'])).toBe('does not follow the time format %m/%d/%Y')
  })

  test('formats that cannot be used are refused before any row is read', () => {
    expect(timeFormatTrouble('%Y-%m-%d %H:%M')).toBeNull()
    expect(timeFormatTrouble('epoch_s')).toBeNull()
    expect(timeFormatTrouble('%Y %Q')).toContain("'%Q' cannot be read")
    expect(timeFormatTrouble('%H:%M %Z')).toContain("'%Z' cannot be read")
    expect(timeFormatTrouble('today')).toContain('reads nothing')
    expect(() => sqlValue.time('x', { formats: ['%Q'], zone: { name: 'UTC' } })).toThrow(
      "'%Q' cannot be read",
    )
  })

  test('the zone of a row may come from the row', async () => {
    const zones = [denver, 'America/Los_Angeles', 'UTC', 'Africa/Casablanca']
    const expression = sqlValue.time(`'2026-07-04 14:05'`, { zone: { expr: 'x', zones } })
    const expected = zones.map((zone) => stamp(readTime('2026-07-04 14:05', { zone })))
    expect((await duck.over(expression, [...zones, 'Nowhere/Else', null])).map(sqlStamp)).toEqual([
      ...expected,
      null,
      null,
    ])
  })
})

describe('zones', () => {
  const zones = [
    denver,
    'America/Anchorage',
    'America/Phoenix',
    'Australia/Lord_Howe',
    'Africa/Casablanca',
    'Asia/Kolkata',
    'Europe/Lisbon',
    'UTC',
  ]

  test('a clock change is found to the second', () => {
    const of2026 = zoneTransitions(denver).filter((change) => new Date(change.at).getUTCFullYear() === 2026)
    expect(of2026).toEqual([
      { at: Date.UTC(2026, 2, 8, 9), before_s: -25200, after_s: -21600 },
      { at: Date.UTC(2026, 10, 1, 8), before_s: -21600, after_s: -25200 },
    ])
    expect(zoneTransitions('America/Phoenix')).toEqual([])
    expect(isZone('America/Denver')).toBe(true)
    expect(isZone('Mountain')).toBe(false)
  })

  test('both faces agree around every clock change, and with the runtime', async () => {
    for (const zone of zones) {
      const near = zoneTransitions(zone, 2019, 2027).flatMap((change) =>
        [-5400, -1800, -60, 0, 60, 1800, 5400].map(
          (seconds) => change.at + Math.max(change.before_s, change.after_s) * 1000 + seconds * 1000,
        ),
      )
      const locals = [
        ...near,
        Date.UTC(2024, 0, 1),
        Date.UTC(2024, 11, 31, 23, 59),
        Date.UTC(2024, 6, 1, 12),
      ].map((ms) => new Date(ms).toISOString().slice(0, 16).replace('T', ' '))
      const utc = await duck.over(sqlValue.time('x', { zone: { name: zone } }), locals)
      expect(utc.map(sqlStamp), zone).toEqual(locals.map((text) => stamp(readTime(text, { zone }))))
      const trouble = await duck.over(sqlValue.timeTrouble('x', { zone: { name: zone } }), locals)
      expect(trouble, zone).toEqual(locals.map((text) => timeTrouble(text, { zone })))
      const guarded = sqlValue.timeTrouble('x', { zone: { name: zone }, utc: 'utc' })
      const withUtc = `(SELECT ${guarded} FROM (SELECT ${sqlValue.time('x', { zone: { name: zone } })} AS utc))`
      expect(await duck.over(withUtc, locals), `${zone} by UTC first`).toEqual(trouble)
      const days = await duck.over(sqlValue.localDate(`CAST(x AS TIMESTAMP)`, { name: zone }), locals)
      expect(days, zone).toEqual(
        locals.map((text) => localDate(new Date(`${text.replace(' ', 'T')}Z`), zone)),
      )
    }
  })

  test('a time that is fine reads back as the wall clock that was written', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...zones),
        fc.integer({ min: Date.UTC(1996, 0), max: Date.UTC(2050, 0) }),
        (zone, at) => {
          const wall = new Date(at + zoneOffset(zone, at) * 1000).toISOString().slice(0, 19).replace('T', ' ')
          const read = readTime(wall, { zone })
          const trouble = timeTrouble(wall, { zone })
          expect(read.ok).toBe(true)
          if (read.ok && trouble === null) expect(read.value.getTime()).toBe(Math.floor(at / 1000) * 1000)
          expect(trouble).not.toBe('no-such-time')
        },
      ),
    )
  })
})

test('dates: ISO 8601 or by formats, alike in both faces', async () => {
  const dates: [string, string[] | undefined, string | null][] = [
    ['2026-07-04', undefined, '2026-07-04'],
    ['2026-7-4', undefined, '2026-07-04'],
    [' 2026-07-04 ', undefined, '2026-07-04'],
    ['2026-02-30', undefined, null],
    ['2026-07-04 10:00', undefined, null],
    ['1026-07-04', undefined, null],
    ['', undefined, null],
    ['07/04/2026', ['%m/%d/%Y'], '2026-07-04'],
    ['46207', ['excel_serial'], '2026-07-04'],
    ['4 Jul 26', ['%m/%d/%Y', '%d %b %y'], '2026-07-04'],
    ['06/31/2026', ['%m/%d/%Y'], null],
  ]
  for (const [text, formats, expected] of dates) {
    const read = readDate(text, formats)
    expect(read.ok ? read.value : null, text).toBe(expected)
    expect((await duck.over(sqlValue.date('x', formats), [text]))[0], `${text} in SQL`).toBe(expected)
  }
})
