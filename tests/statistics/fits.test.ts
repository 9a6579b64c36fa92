import { describe, expect, test } from 'vitest'
import { ewmaChart, individualsChart, proportionsChart } from '../../src/statistics/control-charts.ts'
import { huberRegression } from '../../src/statistics/huber.ts'
import { leastSquares } from '../../src/statistics/least-squares.ts'
import { fitLine, lineIntervals } from '../../src/statistics/line.ts'
import { fitPowerLaw, laplaceTrend } from '../../src/statistics/repairable.ts'
import { intervalCredit, pinballLoss } from '../../src/statistics/scores.ts'
import { theilSen } from '../../src/statistics/theil-sen.ts'
import fc from '../chance.ts'

const points = fc.array(
  fc.tuple(fc.double({ min: -100, max: 100, noNaN: true }), fc.double({ min: -100, max: 100, noNaN: true })),
  { minLength: 5, maxLength: 30 },
)

test('one column of the multiple fit is the line, and unit weights change nothing', () => {
  fc.assert(
    fc.property(points, (pairs) => {
      const x = pairs.map(([a], i) => a + i * 10)
      const y = pairs.map(([, b]) => b)
      const line = fitLine(x, y)!
      const many = leastSquares([x], y)
      expect(many.coefficients[0]).toBeCloseTo(line.intercept, 6)
      expect(many.coefficients[1]).toBeCloseTo(line.slope, 8)
      expect(many.sds[1]).toBeCloseTo(line.slopeSd, 8)
      const ends = lineIntervals(line)
      expect(ends.slope[0]).toBeLessThanOrEqual(line.slope)
      expect(leastSquares([x], y, new Array(x.length).fill(1)).coefficients).toEqual(many.coefficients)
    }),
  )
})

test('whole weights equal replication', () => {
  const x = [1, 2, 3, 4, 5]
  const y = [2, 3, 5, 4, 6]
  const weighted = leastSquares([x], y, [1, 2, 1, 3, 1])
  const copied = leastSquares([[1, 2, 2, 3, 4, 4, 4, 5]], [2, 3, 3, 5, 4, 4, 4, 6])
  expect(weighted.coefficients[0]).toBeCloseTo(copied.coefficients[0]!, 12)
  expect(weighted.coefficients[1]).toBeCloseTo(copied.coefficients[1]!, 12)
})

test('robust fits pass a wild point by, least squares does not', () => {
  const x = Array.from({ length: 30 }, (_, i) => i)
  const y = x.map((v) => 5 + 2 * v + (v % 3) * 0.1)
  const clean = theilSen(x, y)!.slope
  y[29] = 1000
  expect(fitLine(x, y)!.slope).toBeGreaterThan(4)
  expect(theilSen(x, y)!.slope).toBeCloseTo(clean, 2)
  expect(huberRegression([x], y).coefficients[1]).toBeCloseTo(2, 1)
})

describe('what cannot be fitted', () => {
  test('is null or refused with a reason', () => {
    expect(fitLine([1, 2], [1, 2])).toBeNull()
    expect(fitLine([3, 3, 3], [1, 2, 3])).toBeNull()
    expect(theilSen([1, 1], [1, 2])).toBeNull()
    expect(() => fitLine([1], [1, 2])).toThrow(/as many/)
    expect(() =>
      leastSquares(
        [
          [1, 2, 3, 4],
          [2, 4, 6, 8],
        ],
        [1, 2, 3, 5],
      ),
    ).toThrow(/combination/)
    expect(() => leastSquares([[1, 2]], [1, 2])).toThrow(/more than 2 rows/)
    expect(individualsChart([1])).toBeNull()
    expect(proportionsChart([], [])).toBeNull()
    expect(() => ewmaChart([1], { center: 0, sd: 1, lambda: 0 })).toThrow(/weight/)
    expect(fitPowerLaw([5], 10)).toBeNull()
    expect(() => fitPowerLaw([5, 20], 10)).toThrow(/between 0 and the end/)
    expect(laplaceTrend([], 10)).toBeNull()
  })
})

test('an EWMA of a constant stays there; of weight 1 it is the data', () => {
  expect(Array.from(ewmaChart([5, 5, 5], { center: 5, sd: 1 }).ewma)).toEqual([5, 5, 5])
  const chart = ewmaChart([1, 9, 2], { center: 2, sd: 1, lambda: 1 })
  expect(Array.from(chart.ewma)).toEqual([1, 9, 2])
  expect(chart.alarmIndex).toBe(1)
})

test('pinball loss is least at the quantile of the outcomes', () => {
  const outcomes = Array.from({ length: 101 }, (_, i) => i)
  const loss = (q: number): number => outcomes.reduce((s, y) => s + pinballLoss(y, q, 0.9), 0)
  expect(loss(90)).toBeLessThan(loss(85))
  expect(loss(90)).toBeLessThan(loss(95))
  expect(() => pinballLoss(1, 1, 1)).toThrow(/level/)
})

test('interval credit: seen outcomes count whole, censored ones by the chance that is left', () => {
  const at = { low: 10, high: 90, shareByEnd: 0.5 }
  expect(intervalCredit(10, at)).toBe(1)
  expect(intervalCredit(9, at)).toBe(0)
  expect(intervalCredit(91, at)).toBe(0)
  expect(intervalCredit(null, at)).toBeCloseTo(0.8, 12) // 0.4 of the 0.5 beyond the end
  expect(intervalCredit(null, { ...at, shareByEnd: 0.95 })).toBe(0) // the end lies beyond the interval
  expect(intervalCredit(null, { low: null, high: null, shareByEnd: 0 })).toBeCloseTo(0.8, 12)
  // outcomes uniform on 1..100, forecast right, censored at any end: the mean credit is the nominal share
  for (const end of [5, 30, 70, 95]) {
    let credit = 0
    for (let y = 1; y <= 100; y++) {
      credit += intervalCredit(y <= end ? y : null, { low: 11, high: 90, shareByEnd: end / 100 })
    }
    expect(credit / 100).toBeCloseTo(0.8, 10)
  }
})
