import { expect, test } from 'vitest'
import {
  median,
  medianAbsoluteDeviation,
  type QuantileType,
  quantile,
  quantiles,
  weightedQuantile,
} from '../../src/statistics/quantiles.ts'
import fc from '../chance.ts'

const sample = fc.array(fc.double({ min: -1e6, max: 1e6, noNaN: true }), { minLength: 1, maxLength: 40 })
const level = fc.double({ min: 0, max: 1, noNaN: true })
const type = fc.integer({ min: 1, max: 9 }) as fc.Arbitrary<QuantileType>

test('every type lies within the sample, rises with the level, and leaves its input alone', () => {
  fc.assert(
    fc.property(sample, level, level, type, (x, a, b, t) => {
      const before = x.slice()
      const low = quantile(x, Math.min(a, b), t)!
      const high = quantile(x, Math.max(a, b), t)!
      expect(low).toBeLessThanOrEqual(high)
      expect(low).toBeGreaterThanOrEqual(Math.min(...x))
      expect(high).toBeLessThanOrEqual(Math.max(...x))
      expect(x).toEqual(before)
    }),
  )
})

test('types 2, 5, 6, 7, 8 and 9 mirror: the p-quantile of −x is minus the (1 − p)-quantile of x', () => {
  fc.assert(
    fc.property(
      sample,
      fc.integer({ min: 0, max: 64 }),
      fc.constantFrom<QuantileType>(2, 5, 6, 7, 8, 9),
      (x, k, t) => {
        const mirrored = -quantile(
          x.map((v) => -v),
          1 - k / 64,
          t,
        )!
        expect(Math.abs(quantile(x, k / 64, t)! - mirrored)).toBeLessThan(1e-6)
      },
    ),
  )
})

test('whole weights equal replication', () => {
  const weighted = fc.array(fc.tuple(fc.integer({ min: -50, max: 50 }), fc.integer({ min: 0, max: 5 })), {
    minLength: 1,
    maxLength: 20,
  })
  fc.assert(
    fc.property(weighted, level, (pairs, p) => {
      const copies = pairs.flatMap(([v, w]) => new Array<number>(w).fill(v))
      const values = pairs.map(([v]) => v)
      const weights = pairs.map(([, w]) => w)
      expect(weightedQuantile(values, weights, p)).toBe(quantile(copies, p, 1))
    }),
  )
})

test('median, MAD, several levels, nothing', () => {
  expect(median([3, 1, 2])).toBe(2)
  expect(median(Float64Array.of(4, 1, 2, 3))).toBe(2.5)
  expect(medianAbsoluteDeviation([1, 1, 2, 2, 4, 6, 9])).toBe(1)
  expect(quantiles([1, 2, 3, 4], [0, 0.5, 1])).toEqual([1, 2.5, 4])
  expect(median([])).toBeNull()
  expect(quantiles([], [0.5])).toBeNull()
  expect(weightedQuantile([1], [0], 0.5)).toBeNull()
})

test('a missing value or a level outside 0..1 is refused', () => {
  expect(() => median([1, Number.NaN])).toThrow(/NaN/)
  expect(() => quantile([1], 1.1)).toThrow(/0\.\.1/)
  expect(() => weightedQuantile([1, 2], [1], 0.5)).toThrow(/weight per value/)
})
