import { describe, expect, test } from 'vitest'
import { dayNumber, dayText } from '../../src/maintenance/day.ts'
import { duePointAfter, type EarlyPolicy, type Rule, type Step } from '../../src/maintenance/due-point.ts'
import { planningHorizon, statusOf } from '../../src/maintenance/status.ts'

const r = 'rebase' as const
const k = 'keep-within-tolerance' as const

/** interval, tolerance, policy, first due, work (a leading `~` marks a reading from before the records), next due. */
type CountCase = [number, number, EarlyPolicy, number, (number | string)[], number]

/** Worked by hand; every row is a limit with the work done on it. */
const counts: CountCase[] = [
  // nothing done: the first due point stands
  [50, 5, r, 50, [], 50],
  [100, 0, r, 300, [], 300],
  // exactly on the point
  [50, 5, r, 50, [50], 100],
  [50, 5, r, 50, [50, 100, 150], 200],
  [50, 0, k, 50, [50], 100],
  // early, rebased
  [50, 5, r, 50, [48], 98],
  [50, 5, r, 50, [20], 70],
  [50, 5, r, 50, [48, 96], 146],
  // early, kept inside the tolerance
  [50, 5, k, 50, [48], 100],
  [50, 5, k, 50, [45], 100],
  [50, 5, k, 50, [44], 94],
  [50, 5, k, 50, [48, 97], 150],
  [50, 5, k, 50, [44, 90], 144],
  // a reading with a slip of the pen: soon told, however many intervals went by
  [50, 0, r, 50, [50, 1e15 + 10], 1e15 + 50],
  // late inside the tolerance: the excess counts
  [50, 5, r, 50, [53], 100],
  [50, 5, r, 50, [55], 100],
  [50, 5, k, 50, [55], 100],
  [50, 5, r, 50, [53, 104], 150],
  [50, 5, r, 50, [53, 98], 148],
  [50, 5, k, 50, [53, 98], 150],
  // beyond the tolerance: overdue, and the excess counts too
  [50, 5, r, 50, [50, 112], 150],
  [50, 0, r, 50, [51], 100],
  [50, 5, r, 50, [60], 100],
  [50, 5, k, 50, [50, 149], 150],
  // whole intervals missed: work never leaves an item overdue
  [50, 5, r, 50, [50, 150], 200],
  [50, 5, r, 50, [50, 163], 200],
  [50, 5, r, 50, [50, 320], 350],
  // a first threshold that differs from the interval
  [50, 5, r, 120, [], 120],
  [50, 5, r, 120, [118], 168],
  [50, 5, r, 120, [124], 170],
  [50, 5, k, 120, [116], 170],
  [200, 10, r, 1000, [1006], 1200],
  // work from before the records: earlier work is unknown, so a reading far past the first due point starts anew
  [50, 5, r, 50, ['~60'], 110],
  [50, 5, r, 50, ['~60', 112], 160],
  [50, 5, r, 50, ['~60', 108], 158],
  [50, 5, k, 50, ['~60', 108], 160],
  [50, 5, r, 50, ['~53'], 100],
  [50, 5, r, 50, ['~40'], 90],
  [150, 10, r, 150, ['~760'], 910],
  [150, 10, r, 150, ['~760', 905], 1055],
  [150, 10, r, 150, ['~760', 915], 1060],
  // counted, but a whole interval past the first due point: earlier work is not on record
  [50, 5, r, 50, [760], 810],
  [50, 5, r, 50, [760, 812], 860],
  // hours
  [100, 10, r, 100, [97.4], 197.4],
  [25, 2.5, k, 25, [23], 50],
  [25, 2.5, k, 25, [22.4], 47.4],
]

const rule = (interval: Step, tolerance: number, early: EarlyPolicy): Rule => ({ interval, tolerance, early })

describe('due points of counts, worked by hand', () => {
  test.each(counts)('every %d, tolerance %d, %s, first at %d, done at %j: next at %d', (...one) => {
    const [interval, tolerance, early, first, work, next] = one
    const done = work.map((at) => ({
      at: Number(String(at).replace('~', '')),
      isFromReading: String(at).startsWith('~'),
    }))
    const point = duePointAfter(rule({ count: interval }, tolerance, early), { from: 0, due: first }, done)
    expect(point.due).toBeCloseTo(next, 9)
  })
})

/** interval, tolerance in days, policy, start, work, next due. */
const dates: [string, number, EarlyPolicy, string, string[], string][] = [
  ['30', 3, r, '2026-06-01', [], '2026-07-01'],
  ['30', 3, r, '2026-06-01', ['2026-06-30'], '2026-07-30'],
  ['30', 3, r, '2026-06-01', ['2026-07-03'], '2026-07-31'],
  ['30', 3, k, '2026-06-01', ['2026-06-29'], '2026-07-31'],
  ['30', 3, k, '2026-06-01', ['2026-06-27'], '2026-07-27'],
  ['30', 3, r, '2026-06-01', ['2026-07-10'], '2026-07-31'],
  ['6mo', 14, r, '2026-01-15', [], '2026-07-15'],
  ['6mo', 14, r, '2026-01-15', ['2026-07-20'], '2027-01-15'],
  ['6mo', 14, r, '2026-01-15', ['2026-07-10'], '2027-01-10'],
  ['6mo', 14, k, '2026-01-15', ['2026-07-10'], '2027-01-15'],
  ['1mo', 0, r, '2026-01-31', [], '2026-02-28'],
  ['1mo', 0, r, '2026-01-31', ['2026-02-28'], '2026-03-31'],
  ['1mo', 0, r, '2026-01-30', [], '2026-02-28'],
  ['1mo', 0, r, '2026-06-30', [], '2026-07-31'],
  ['12mo', 0, r, '2024-02-29', [], '2025-02-28'],
  ['48mo', 0, r, '2024-02-29', [], '2028-02-29'],
  ['12mo', 0, r, '2025-02-28', ['2026-02-28'], '2027-02-28'],
  ['6mo', 18, k, '1998-07-31', ['1999-01-20'], '1999-07-31'],
  ['6mo', 18, k, '1998-07-31', ['1999-01-12'], '1999-07-12'],
]

describe('due points of the calendar, worked by hand', () => {
  test.each(dates)('every %s, tolerance %d, %s, from %s, done on %j: next on %s', (...one) => {
    const [interval, tolerance, early, start, work, next] = one
    const step: Step = interval.endsWith('mo')
      ? { months: Number.parseInt(interval, 10) }
      : { count: Number(interval) }
    const from = dayNumber(start)
    const first = duePointAfter(rule(step, tolerance, early), { from, due: Number.POSITIVE_INFINITY }, [
      { at: from, isFromReading: false },
    ])
    const point = duePointAfter(
      rule(step, tolerance, early),
      first,
      work.map((day) => ({ at: dayNumber(day), isFromReading: false })),
    )
    expect(dayText(point.due)).toBe(next)
  })
})

describe('status, worked by hand', () => {
  /** remaining, tolerance, horizon, unit, status. */
  test.each([
    [6, 5, 5, 1, 'ok'],
    [5, 5, 5, 1, 'plan'],
    [1, 5, 5, 1, 'plan'],
    [0, 5, 5, 1, 'due'],
    [-1, 5, 5, 1, 'in-tolerance'],
    [-5, 5, 5, 1, 'in-tolerance'],
    [-6, 5, 5, 1, 'overdue'],
    [-1, 0, 5, 1, 'overdue'],
    [0.1, 0, 10, 0.1, 'plan'],
    [0.05, 0, 10, 0.1, 'due'],
    [0, 0, 10, 0.1, 'due'],
    [-0.1, 10, 10, 0.1, 'in-tolerance'],
    [-10.1, 10, 10, 0.1, 'overdue'],
    [15, 0, 14, 1, 'ok'],
    [14, 0, 14, 1, 'plan'],
  ])('remaining %d, tolerance %d, horizon %d, unit %d: %s', (remaining, tolerance, horizon, unit, status) => {
    expect(statusOf({ remaining, tolerance, horizon, unit })).toBe(status)
  })

  test('the horizon is a tenth of the interval or a fortnight of use, whichever is larger', () => {
    expect(planningHorizon(50, 0)).toBe(5)
    expect(planningHorizon(50, 31)).toBe(31)
    expect(planningHorizon(365, 14)).toBe(36.5)
  })
})
