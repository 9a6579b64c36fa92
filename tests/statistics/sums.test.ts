import { expect, test } from 'vitest'
import { mean, sampleSd, squaredDeviations } from '../../src/statistics/moments.ts'
import { stableDot, stableSum } from '../../src/statistics/sums.ts'
import fc from '../chance.ts'

const finite = fc.double({ min: -1e12, max: 1e12, noNaN: true })

test('the sum has the same last bit in any order', () => {
  fc.assert(
    fc.property(fc.array(finite, { maxLength: 60 }), fc.infiniteStream(fc.nat()), (values, stream) => {
      const keys = values.map(() => stream.next().value as number)
      const shuffled = values
        .map((_, i) => i)
        .sort((a, b) => keys[a]! - keys[b]!)
        .map((i) => values[i]!)
      expect(stableSum(shuffled)).toBe(stableSum(values))
      expect(stableSum(values.toReversed())).toBe(stableSum(values))
      expect(stableSum(values.toSorted((a, b) => a - b))).toBe(stableSum(values))
    }),
  )
})

test('the sum is the exact one, rounded once (against whole-number arithmetic)', () => {
  const exact = fc.bigInt({ min: -(2n ** 53n), max: 2n ** 53n })
  fc.assert(
    fc.property(fc.array(exact, { maxLength: 40 }), (values) => {
      expect(stableSum(values.map(Number))).toBe(Number(values.reduce((sum, v) => sum + v, 0n)) + 0)
    }),
  )
})

test('nothing is lost beside large numbers', () => {
  expect(stableSum([1e16, 1, -1e16])).toBe(1)
  expect(stableSum([1, 1e100, 1, -1e100])).toBe(2)
  expect(stableSum(new Float64Array(10).fill(0.1))).toBe(1)
  expect(stableSum([1e16, 1, 1e-16])).toBe(10000000000000002) // a tie settled by what is below it
  expect(stableSum([])).toBe(0)
  expect(stableSum([1, Number.NaN])).toBeNaN()
  expect(stableSum([1, Number.POSITIVE_INFINITY])).toBe(Number.POSITIVE_INFINITY)
})

test('products', () => {
  expect(stableDot([1, 2, 3], [4, 5, 6])).toBe(32)
  expect(() => stableDot([1], [1, 2])).toThrow(/one length/)
})

test('mean and spread: shift, scale, order; missing is null', () => {
  const values = fc.array(fc.double({ min: -1e6, max: 1e6, noNaN: true }), { minLength: 2, maxLength: 40 })
  fc.assert(
    fc.property(values, (x) => {
      const sd = sampleSd(x)!
      expect(sampleSd(x.toReversed())).toBe(sd)
      expect(squaredDeviations(x)).toBeGreaterThanOrEqual(0)
      expect(Math.abs(sampleSd(x.map((v) => 2 * v))! - 2 * sd)).toBeLessThanOrEqual(1e-9 * (1 + sd))
      expect(Math.abs(sampleSd(x.map((v) => v + 1000))! - sd)).toBeLessThanOrEqual(1e-6 * (1 + sd))
      expect(mean(x)!).toBeGreaterThanOrEqual(Math.min(...x) - 1e-9)
      expect(mean(x)!).toBeLessThanOrEqual(Math.max(...x) + 1e-9)
    }),
  )
  expect(mean([])).toBeNull()
  expect(sampleSd([4])).toBeNull()
})
