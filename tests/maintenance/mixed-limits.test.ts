import { describe, expect, test } from 'vitest'
import { dayNumber } from '../../src/maintenance/day.ts'
import { dueRows, markGoverning } from '../../src/maintenance/due-row.ts'
import type { Futures } from '../../src/maintenance/forecast.ts'
import type { Limit } from '../../src/maintenance/limit.ts'

const today = dayNumber('2026-07-31')

/** Two openings on every coming day, whatever the tank: every date can be worked out by hand. */
const steady: Futures = {
  course: () => ({
    passage: (limit) => {
      const day = Math.ceil(limit / 2)
      return day <= 550 ? [today + day, today + day, today + day] : [null, null, null]
    },
    meanUse: (days) => 2 * days,
  }),
  basis: () => 'two a day',
}

const blank: Limit = {
  limitNo: 0,
  task: 'T',
  title: null,
  item: 'X',
  kind: 'tank',
  tank: 'X',
  position: null,
  counter: 'openings',
  step: null,
  firstStep: null,
  tolerance: 0,
  early: 'rebase',
  isLifeLimit: false,
  triggeredBy: null,
  within: 0,
  isRead: true,
  isCounted: true,
  total: 0,
  isBeforeBaseline: false,
  sinceDay: null,
  zeroDay: null,
  extendedTo: null,
  authority: null,
  expiresDay: null,
  trigger: null,
  work: [],
}

/**
 * Openings: every, tolerance, count at the last work, count now. Days: every, tolerance, days since the last work.
 * Expected: remaining and status of each, days until each is due, and which governs.
 */
type Case = [
  [number, number, number, number],
  [number, number, number],
  [number, string, number | null],
  [number, string, number],
  'openings' | 'days',
]

const cases: Case[] = [
  // far from both
  [[200, 10, 100, 110], [180, 14, 10], [190, 'ok', 95], [170, 'ok', 170], 'openings'],
  [[200, 10, 100, 110], [90, 14, 10], [190, 'ok', 95], [80, 'ok', 80], 'days'],
  [[200, 10, 0, 0], [365, 0, 0], [200, 'ok', 100], [365, 'ok', 365], 'openings'],
  [[1000, 0, 0, 300], [365, 0, 30], [700, 'ok', 350], [335, 'ok', 335], 'days'],
  // the same day: the 50 % days tie, so the smaller share left governs
  [[200, 10, 0, 100], [100, 0, 50], [100, 'ok', 50], [50, 'ok', 50], 'openings'],
  // one inside the planning horizon (28 openings or a tenth; 14 days or a tenth)
  [[200, 10, 100, 272], [180, 14, 10], [28, 'plan', 14], [170, 'ok', 170], 'openings'],
  [[200, 10, 100, 271], [180, 14, 10], [29, 'ok', 15], [170, 'ok', 170], 'openings'],
  [[500, 10, 0, 450], [365, 14, 10], [50, 'plan', 25], [355, 'ok', 355], 'openings'],
  [[500, 10, 0, 449], [365, 14, 10], [51, 'ok', 26], [355, 'ok', 355], 'openings'],
  [[200, 10, 100, 110], [180, 14, 162], [190, 'ok', 95], [18, 'plan', 18], 'days'],
  [[200, 10, 100, 110], [180, 14, 161], [190, 'ok', 95], [19, 'ok', 19], 'days'],
  [[200, 10, 100, 110], [30, 3, 16], [190, 'ok', 95], [14, 'plan', 14], 'days'],
  [[200, 10, 100, 110], [30, 3, 15], [190, 'ok', 95], [15, 'ok', 15], 'days'],
  // both inside it
  [[200, 10, 100, 290], [30, 3, 24], [10, 'plan', 5], [6, 'plan', 6], 'openings'],
  [[200, 10, 100, 287], [30, 3, 24], [13, 'plan', 7], [6, 'plan', 6], 'days'],
  [[50, 5, 60, 106], [180, 14, 170], [4, 'plan', 2], [10, 'plan', 10], 'openings'],
  [[50, 5, 60, 105], [180, 14, 178], [5, 'plan', 3], [2, 'plan', 2], 'days'],
  // odd counts are reached in the middle of a day
  [[50, 5, 60, 109], [180, 14, 10], [1, 'plan', 1], [170, 'ok', 170], 'openings'],
  [[50, 5, 60, 108], [180, 14, 10], [2, 'plan', 1], [170, 'ok', 170], 'openings'],
  [[50, 5, 60, 107], [180, 14, 10], [3, 'plan', 2], [170, 'ok', 170], 'openings'],
  // at the limit
  [[50, 5, 60, 110], [180, 14, 10], [0, 'due', null], [170, 'ok', 170], 'openings'],
  [[50, 5, 60, 100], [180, 14, 180], [10, 'plan', 5], [0, 'due', 0], 'days'],
  [[50, 5, 60, 110], [180, 14, 185], [0, 'due', null], [-5, 'in-tolerance', -5], 'days'],
  // past it, inside tolerance
  [[50, 5, 60, 111], [180, 14, 10], [-1, 'in-tolerance', null], [170, 'ok', 170], 'openings'],
  [[50, 5, 60, 115], [180, 14, 10], [-5, 'in-tolerance', null], [170, 'ok', 170], 'openings'],
  [[50, 5, 60, 100], [180, 14, 181], [10, 'plan', 5], [-1, 'in-tolerance', -1], 'days'],
  [[50, 5, 60, 100], [180, 14, 194], [10, 'plan', 5], [-14, 'in-tolerance', -14], 'days'],
  // beyond it
  [[50, 5, 60, 116], [180, 14, 10], [-6, 'overdue', null], [170, 'ok', 170], 'openings'],
  [[50, 0, 60, 111], [180, 14, 10], [-1, 'overdue', null], [170, 'ok', 170], 'openings'],
  [[50, 5, 60, 100], [180, 14, 195], [10, 'plan', 5], [-15, 'overdue', -15], 'days'],
  [[50, 5, 60, 100], [180, 0, 181], [10, 'plan', 5], [-1, 'overdue', -1], 'days'],
  [[50, 5, 60, 200], [180, 0, 181], [-90, 'overdue', null], [-1, 'overdue', -1], 'days'],
  // nothing used since the work
  [[50, 5, 60, 60], [20, 0, 0], [50, 'ok', 25], [20, 'ok', 20], 'days'],
  [[50, 5, 60, 60], [30, 0, 0], [50, 'ok', 25], [30, 'ok', 30], 'openings'],
  [[28, 0, 0, 0], [365, 0, 0], [28, 'plan', 14], [365, 'ok', 365], 'openings'],
  [[29, 0, 0, 0], [365, 0, 0], [29, 'ok', 15], [365, 'ok', 365], 'openings'],
  // short intervals: the fortnight's use is the horizon
  [[10, 1, 0, 1], [365, 0, 1], [9, 'plan', 5], [364, 'ok', 364], 'openings'],
  [[200, 10, 100, 110], [7, 0, 3], [190, 'ok', 95], [4, 'plan', 4], 'days'],
  [[200, 10, 100, 110], [14, 0, 0], [190, 'ok', 95], [14, 'plan', 14], 'days'],
  // beyond the forecast: no date, so the calendar governs
  [[5000, 0, 0, 1000], [365, 0, 65], [4000, 'ok', null], [300, 'ok', 300], 'days'],
  [[1100, 0, 0, 0], [730, 0, 0], [1100, 'ok', 550], [730, 'ok', 730], 'openings'],
  [[1101, 0, 0, 0], [730, 0, 0], [1101, 'ok', null], [730, 'ok', 730], 'days'],
]

describe('openings or days, whichever comes first, worked by hand at two openings a day', () => {
  test('the table is long enough', () => expect(cases.length).toBeGreaterThanOrEqual(40))

  test.each(cases)('openings %j, days %j', (openings, days, ofOpenings, ofDays, governs) => {
    const [interval, tolerance, done, total] = openings
    const [dayInterval, dayTolerance, since] = days
    const work = [{ day: today - since, ms: 0, count: done, reading: null }]
    // due points so far: the work was done when it was due
    const limits: Limit[] = [
      {
        ...blank,
        step: { count: interval },
        firstStep: { count: done || interval },
        tolerance,
        total,
        work: done > 0 ? work : [],
      },
      {
        ...blank,
        counter: 'days',
        step: { count: dayInterval },
        tolerance: dayTolerance,
        zeroDay: null,
        work,
      },
    ]
    const rows = dueRows(limits, today, steady)
    const reached = rows.filter((row) => row.standing!.dueDay === null && row.remaining! <= 0)
    for (const row of reached) row.days = [today, today, today]
    markGoverning(rows)
    const due = (index: number) => (rows[index]!.days[1] === null ? null : rows[index]!.days[1]! - today)
    const isReached = ofOpenings[0] <= 0
    expect([rows[0]!.remaining, rows[0]!.status, isReached ? null : due(0)]).toEqual(ofOpenings)
    expect([rows[1]!.remaining, rows[1]!.status, due(1)]).toEqual(ofDays)
    expect(rows.filter((row) => row.governs).map((row) => row.limit.counter)).toEqual([governs])
  })
})

describe('what cannot be computed says why', () => {
  const only = (change: Partial<Limit>) => dueRows([{ ...blank, ...change }], today, steady)[0]!
  const early = { day: today - 60, ms: 0, count: null, reading: null }
  test.each([
    [{}, /neither an interval nor a threshold/],
    [{ step: { months: 6 } }, /needs the counter days/],
    [{ step: { count: 50 }, work: [early] }, /before the baseline and no reading/],
    [{ step: { count: 50 }, isBeforeBaseline: true }, /baseline was counted after this day/],
    [{ step: { count: 50 }, counter: 'door-cycles', isCounted: false, kind: 'hose' }, /sits at no door/],
    [{ step: { count: 30 }, counter: 'days' }, /nothing says when its days begin/],
  ] as const)('%j', (change, reason) => {
    const row = only(change as Partial<Limit>)
    expect(row.status).toBe('no-baseline')
    expect(row.remaining).toBeNull()
    expect(row.reason).toMatch(reason)
  })

  test('a reading says the count before the baseline, for the one counter that it is of', () => {
    const work = [{ ...early, reading: 60 }]
    expect(only({ step: { count: 50 }, total: 106, work }).remaining).toBe(4)
    expect(only({ step: { count: 50 }, total: 106, work, isRead: false }).status).toBe('no-baseline')
  })
})

describe('triggered tasks, life limits and extensions', () => {
  const row = (change: Partial<Limit>) => dueRows([{ ...blank, ...change }], today, steady)[0]
  const trigger = { day: today - 3, evidence: 'drop:D', count: 105 }
  const asked = { triggeredBy: 'emergency-release', trigger }

  test('nothing asks for it: no row', () => {
    expect(row({ triggeredBy: 'overfill', within: 5 })).toBeUndefined()
  })
  test('within so many openings, or days, of the event; at the event when it does not say', () => {
    expect(row({ ...asked, within: 1, total: 106 })).toMatchObject({ remaining: 0, status: 'due' })
    expect(row({ ...asked, within: 5, total: 106 })).toMatchObject({ remaining: 4, status: 'plan' })
    expect(row({ ...asked, total: 106 })).toMatchObject({ remaining: -1, status: 'overdue' })
    expect(row({ ...asked, counter: 'days', within: 2 })).toMatchObject({ remaining: -1, status: 'overdue' })
    expect(row({ ...asked, counter: 'days', within: 5, total: null })).toMatchObject({
      remaining: 2,
      days: [today + 2, today + 2, today + 2],
    })
  })
  test('a life limit has no tolerance and never resets', () => {
    const life = { isLifeLimit: true, step: { count: 900 }, tolerance: 0 }
    expect(row({ ...life, total: 900 })!.status).toBe('due')
    expect(row({ ...life, total: 901 })!.status).toBe('overdue')
  })
  test('an extension raises the limit and says so; the tolerance stays where it was', () => {
    const extended = {
      step: { count: 50 },
      tolerance: 5,
      extendedTo: 53,
      authority: 'Chief inspector',
      expiresDay: today + 5,
    }
    const standing = row({ ...extended, total: 51 })!
    expect(standing).toMatchObject({
      remaining: 2,
      reason: 'extended from 50 by Chief inspector until 2026-08-05',
    })
    expect(row({ ...extended, total: 55 })!.status).toBe('in-tolerance')
    expect(row({ ...extended, total: 56 })!.status).toBe('overdue')
    expect(row({ ...extended, extendedTo: 40, total: 45 })!.remaining).toBe(5)
  })
})
