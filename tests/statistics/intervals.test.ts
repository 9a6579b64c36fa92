import { describe, expect, test } from 'vitest'
import { poissonExact, poissonRate } from '../../src/statistics/counts.ts'
import { meanDifference, meanInterval, meanIntervalFrom } from '../../src/statistics/mean-interval.ts'
import {
  agrestiCaffoDifference,
  clopperPearson,
  newcombeDifference,
  wilson,
} from '../../src/statistics/proportions.ts'
import fc from '../chance.ts'

const group = fc
  .integer({ min: 1, max: 5000 })
  .chain((n) => fc.tuple(fc.integer({ min: 0, max: n }), fc.constant(n)))

describe('proportions', () => {
  test.each([wilson, clopperPearson])(
    '%o: inside 0..1, holds the estimate, mirrors with the failures',
    (interval) => {
      fc.assert(
        fc.property(group, ([x, n]) => {
          const { estimate, low, high } = interval(x, n)!
          expect(low).toBeGreaterThanOrEqual(0)
          expect(high).toBeLessThanOrEqual(1)
          expect(low).toBeLessThanOrEqual(estimate)
          expect(high).toBeGreaterThanOrEqual(estimate)
          const mirror = interval(n - x, n)!
          expect(mirror.low).toBeCloseTo(1 - high, 10)
          expect(mirror.high).toBeCloseTo(1 - low, 10)
        }),
      )
    },
  )

  test('a higher confidence is wider', () => {
    fc.assert(
      fc.property(group, ([x, n]) => {
        const narrow = wilson(x, n, 0.8)!
        const wide = wilson(x, n, 0.99)!
        expect(wide.high - wide.low).toBeGreaterThan(narrow.high - narrow.low)
      }),
    )
  })

  test('a difference lies in −1..1, holds its estimate, and turns its sign with the groups', () => {
    fc.assert(
      fc.property(group, group, ([a, m], [b, n]) => {
        const d = newcombeDifference(a, m, b, n)!
        expect(d.low).toBeLessThanOrEqual(d.estimate)
        expect(d.high).toBeGreaterThanOrEqual(d.estimate)
        const turned = newcombeDifference(b, n, a, m)!
        expect(turned.low).toBeCloseTo(-d.high, 10)
        expect(turned.high).toBeCloseTo(-d.low, 10)
      }),
    )
  })

  test('nothing gives null, never 0 to 1', () => {
    expect(wilson(0, 0)).toBeNull()
    expect(clopperPearson(0, 0)).toBeNull()
    expect(newcombeDifference(1, 2, 0, 0)).toBeNull()
    expect(agrestiCaffoDifference(0, 0, 1, 2)).toBeNull()
  })

  test('counts that are no counts are refused', () => {
    expect(() => wilson(3, 2)).toThrow(/0 ≤ count ≤ total, got 3 of 2/)
    expect(() => wilson(1, 2, 95)).toThrow(/confidence/)
    expect(() => clopperPearson(-1, 2)).toThrow(/count/)
  })
})

test('rates scale with exposure; none gives null', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 0, max: 2000 }),
      fc.double({ min: 0.1, max: 1e5, noNaN: true }),
      (count, exposure) => {
        const plain = poissonExact(count)
        const rate = poissonRate(count, exposure)!
        expect(rate.low * exposure).toBeCloseTo(plain.low, 6)
        expect(rate.high * exposure).toBeCloseTo(plain.high, 6)
        expect(plain.low).toBeLessThanOrEqual(count)
        expect(plain.high).toBeGreaterThan(count)
      },
    ),
  )
  expect(poissonRate(3, 0)).toBeNull()
  expect(() => poissonExact(-1)).toThrow(/negative/)
})

describe('means', () => {
  test('three values by hand: t is 4.303 on two degrees of freedom', () => {
    const { mean, sd, low, high } = meanInterval([1, 2, 3])!
    expect([mean, sd]).toEqual([2, 1])
    expect(low).toBeCloseTo(2 - 4.302652729749464 / Math.sqrt(3), 10)
    expect(high).toBeCloseTo(2 + 4.302652729749464 / Math.sqrt(3), 10)
    expect(meanIntervalFrom(3, 2, 1)).toEqual(meanInterval([1, 2, 3]))
  })
  test('one value has a mean and no interval; none has neither', () => {
    expect(meanInterval([5])).toEqual({ n: 1, mean: 5, sd: null, low: null, high: null })
    expect(meanInterval([])).toBeNull()
    expect(meanDifference([1], [1, 2])).toMatchObject({ difference: -0.5, low: null })
    expect(meanDifference([], [1])).toBeNull()
  })
  test('with equal spreads and sizes, the difference has n + n − 2 degrees of freedom', () => {
    const d = meanDifference([1, 2, 3, 4], [11, 12, 13, 14])!
    expect(d.difference).toBe(-10)
    expect(d.df).toBeCloseTo(6, 10)
    expect(d.high! - d.difference).toBeCloseTo(2.4469118511449692 * Math.sqrt((2 * 5) / 3 / 4), 8)
  })
})
