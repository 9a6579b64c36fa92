import { describe, expect, test } from 'vitest'
import { dayNumber, dayText } from '../../src/maintenance/day.ts'
import { nextDue, type Rule, workWindow } from '../../src/maintenance/due-point.ts'
import { statusOf } from '../../src/maintenance/status.ts'

const hours = (count: number, tolerance: number, early: Rule['early'] = 'rebase'): Rule => ({
  interval: { count },
  tolerance,
  early,
})

describe('14 CFR 91.409(b), Federal Aviation Administration, United States (the 100-hour inspection)', () => {
  // "may be exceeded by not more than 10 hours … The excess time used … must be included in computing the next 100 hours"
  const rule = hours(100, 10)
  test('due at 1,000.0, done at 1,006.4: next at 1,100.0, 93.6 h later', () => {
    const next = nextDue(rule, { from: 900, due: 1000 }, 1006.4)
    expect(next.due).toBeCloseTo(1100, 9)
    expect(next.due - 1006.4).toBeCloseTo(93.6, 9)
  })
  test('ten hours over is inside, more is a violation', () => {
    const at = (total: number) => statusOf({ remaining: 1000 - total, tolerance: 10, horizon: 10, unit: 0.1 })
    expect([at(1006.4), at(1010), at(1010.1)]).toEqual(['in-tolerance', 'in-tolerance', 'overdue'])
  })
})

describe('TM 1-1500-328-23, United States Army (recurring special inspections; numbers read, title from memory)', () => {
  test('25-hour interval, window 10 per cent: due at 1,472.7 may be done from 1,470.2 to 1,475.2', () => {
    const window = workWindow(hours(25, 2.5, 'keep-within-tolerance'), 1472.7)
    expect(window.from).toBeCloseTo(1470.2, 9)
    expect(window.to).toBeCloseTo(1475.2, 9)
  })
  test('50-hour interval, due at 1,306.4 (1,301.4 to 1,311.4), done at 1,299.9: next at 1,349.9', () => {
    const rule = hours(50, 5, 'keep-within-tolerance')
    const window = workWindow(rule, 1306.4)
    expect([window.from, window.to].map((value) => value.toFixed(1))).toEqual(['1301.4', '1311.4'])
    expect(nextDue(rule, { from: 1256.4, due: 1306.4 }, 1299.9).due).toBeCloseTo(1349.9, 9)
  })
  test('six months, ±18 days: due 31 January 1999 may be done 13 January to 18 February; next 31 July 1999', () => {
    const rule: Rule = { interval: { months: 6 }, tolerance: 18, early: 'keep-within-tolerance' }
    const due = dayNumber('1999-01-31')
    const window = workWindow(rule, due)
    expect([window.from, window.to].map(dayText)).toEqual(['1999-01-13', '1999-02-18'])
    for (const done of ['1999-01-13', '1999-01-31', '1999-02-18'])
      expect(dayText(nextDue(rule, { from: due - 184, due }, dayNumber(done)).due)).toBe('1999-07-31')
  })
})

describe('a published engine manual example (100-hour check, ±10 h; numbers read, title not kept)', () => {
  test('done at 110: next at 200, not 210; done early at 87: next at 187', () => {
    expect(nextDue(hours(100, 10), { from: 0, due: 100 }, 110).due).toBe(200)
    expect(nextDue(hours(100, 10), { from: 0, due: 100 }, 87).due).toBe(187)
  })
})

describe('the non-cumulative rule of a maintenance-industry article that cites the FAA (numbers read)', () => {
  test('due at 100 h, done at 130 h with 30 h tolerance: next 70 h later', () => {
    expect(nextDue(hours(100, 30), { from: 0, due: 100 }, 130).due - 130).toBe(70)
  })
})
