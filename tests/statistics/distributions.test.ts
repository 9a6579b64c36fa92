import { describe, expect, test } from 'vitest'
import {
  betaQuantile,
  chiSquaredQuantile,
  gammaCdf,
  gammaQuantile,
  normalCdf,
  normalQuantile,
  studentCdf,
  studentQuantile,
  Z_95,
} from '../../src/statistics/distributions.ts'
import { erfc, incompleteBeta, incompleteGamma, lnGamma } from '../../src/statistics/special-functions.ts'
import fc from '../chance.ts'

const relative = (actual: number, expected: number): number => Math.abs(actual / expected - 1)
const probability = fc.double({ min: 1e-6, max: 1 - 1e-6, noNaN: true })
const shape = fc.double({ min: 0.1, max: 500, noNaN: true })

describe('closed forms', () => {
  test('ln Γ of whole and half numbers', () => {
    let factorial = 1
    for (let n = 1; n <= 20; n++) {
      expect(Math.abs(lnGamma(n) - Math.log(factorial))).toBeLessThan(2e-14 * Math.max(1, lnGamma(n)))
      factorial *= n
    }
    expect(lnGamma(0.5)).toBeCloseTo(Math.log(Math.PI) / 2, 14)
  })
  test('incomplete gamma of shape 1 is exponential, incomplete beta of (a, 1) a power', () => {
    for (const x of [1e-8, 0.1, 1, 3, 20, 300])
      expect(relative(incompleteGamma(1, x)[1], Math.exp(-x))).toBeLessThan(1e-13)
    for (const x of [0.001, 0.3, 0.9])
      expect(relative(incompleteBeta(x, 3.5, 1), x ** 3.5)).toBeLessThan(1e-13)
  })
  test('incomplete beta is the upper tail of a binomial, summed term by term', () => {
    const n = 60
    const p = 0.37
    let tail = 0
    let term = p ** n
    for (let k = n; k >= 25; k--) {
      tail += term
      term *= ((1 - p) / p) * (k / (n - k + 1))
    }
    expect(relative(incompleteBeta(p, 25, n - 24), tail)).toBeLessThan(1e-12)
  })
  test('t with one degree of freedom is Cauchy, with two algebraic', () => {
    for (const p of [0.6, 0.9, 0.975, 0.9999]) {
      expect(relative(studentQuantile(p, 1), Math.tan(Math.PI * (p - 0.5)))).toBeLessThan(1e-11)
      const a = 2 * p - 1
      expect(relative(studentQuantile(p, 2), a * Math.sqrt(2 / (1 - a * a)))).toBeLessThan(1e-11)
    }
  })
  test('chi-squared with two degrees of freedom is exponential', () =>
    expect(relative(chiSquaredQuantile(0.95, 2), -2 * Math.log(0.05))).toBeLessThan(1e-13))
})

test('tables of the normal and t distributions (Abramowitz and Stegun, Handbook of Mathematical Functions, tables 26.1, 26.10)', () => {
  expect(normalCdf(1)).toBeCloseTo(0.841344746068543, 14)
  expect(Math.abs(normalQuantile(0.975) - Z_95)).toBeLessThan(1e-15)
  expect(erfc(1)).toBeCloseTo(0.157299207050285, 14)
  expect(studentQuantile(0.975, 10)).toBeCloseTo(2.228, 3)
  expect(studentQuantile(0.975, 30)).toBeCloseTo(2.042, 3)
  expect(studentQuantile(0.995, 5)).toBeCloseTo(4.032, 3)
})

describe('a quantile undoes its distribution function', () => {
  test('normal', () => {
    fc.assert(
      fc.property(probability, (p) => {
        expect(Math.abs(normalCdf(normalQuantile(p)) - p)).toBeLessThan(1e-14)
      }),
    )
  })
  test('beta', () => {
    fc.assert(
      fc.property(probability, shape, shape, (p, a, b) => {
        // the distribution function can be steep near 1, where the argument itself has no finer steps
        expect(Math.abs(incompleteBeta(betaQuantile(p, a, b), a, b) - p)).toBeLessThan(
          b < 1 || a < 1 ? 0.03 : 1e-11,
        )
      }),
    )
  })
  test('gamma', () => {
    fc.assert(
      fc.property(probability, shape, (p, a) => {
        expect(Math.abs(gammaCdf(gammaQuantile(p, a), a) - p)).toBeLessThan(1e-11)
      }),
    )
  })
  test('Student', () => {
    fc.assert(
      fc.property(probability, fc.double({ min: 1, max: 200, noNaN: true }), (p, df) => {
        expect(Math.abs(studentCdf(studentQuantile(p, df), df) - p)).toBeLessThan(1e-11)
      }),
    )
  })
})

test('large counts keep their digits: the middle of a beta of 100,000 trials', () => {
  expect(betaQuantile(0.5, 50000, 50000)).toBeCloseTo(0.5, 14)
  expect(incompleteBeta(0.5, 50000, 50000)).toBeCloseTo(0.5, 10)
})

test('outside a domain there is no number', () => {
  expect(normalQuantile(1.1)).toBeNaN()
  expect(betaQuantile(0.5, 0, 1)).toBeNaN()
  expect(gammaQuantile(0.5, -1)).toBeNaN()
  expect(studentQuantile(0.5, 0)).toBeNaN()
  expect(lnGamma(0)).toBeNaN()
})
