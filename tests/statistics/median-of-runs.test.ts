import { expect, test } from 'vitest'
import { medianOfRuns, type Run } from '../../src/statistics/median-of-runs.ts'
import { medianWithin } from '../../src/statistics/select.ts'
import fc from '../chance.ts'

const run = (numbers: readonly number[]): Run => {
  const sorted = Float64Array.from(numbers).sort()
  return { length: sorted.length, at: (i) => sorted[i]! }
}

test('the median of runs is the one of all their numbers, to the last bit', () => {
  const number = fc.oneof(
    fc.integer({ min: -4, max: 4 }),
    fc.double({ noNaN: true, noDefaultInfinity: true, min: -1e9, max: 1e9 }),
    fc.constantFrom(5e-324, -5e-324, 1e-300, 1, 1 + Number.EPSILON),
  )
  fc.assert(
    fc.property(fc.array(fc.array(number, { maxLength: 12 }), { maxLength: 6 }), (lists) => {
      const all = Float64Array.from(lists.flat())
      fc.pre(all.length > 0)
      expect(medianOfRuns(lists.map(run)) + 0).toBe(medianWithin(all, all.length) + 0)
    }),
    { numRuns: 500 },
  )
})

test('a number that most runs share, and an even count between two', () => {
  expect(medianOfRuns([run([2, 2, 2]), run([]), run([2, 9])])).toBe(2)
  expect(medianOfRuns([run([1, 2]), run([5, 8])])).toBe(3.5)
})
