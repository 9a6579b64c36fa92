import { describe, expect, test } from 'vitest'
import { poissonExact, poissonRate, poissonRateByar, poissonRateScore } from '../../src/statistics/counts.ts'
import {
  agrestiCaffoDifference,
  clopperPearson,
  newcombeDifference,
  wilson,
} from '../../src/statistics/proportions.ts'

function expectEnds(
  interval: { low: number; high: number } | null,
  low: number,
  high: number,
  digits: number,
): void {
  expect(interval).not.toBeNull()
  expect(interval!.low).toBeCloseTo(low, digits)
  expect(interval!.high).toBeCloseTo(high, digits)
}

describe('Newcombe, "Two-sided confidence intervals for the single proportion", Statistics in Medicine 17:857 (1998), Table I', () => {
  test.each([
    [81, 263, 0.2553, 0.3662],
    [0, 20, 0, 0.1611],
  ])('method 3, Wilson, %i of %i', (x, n, low, high) => expectEnds(wilson(x, n), low, high, 4))

  // these two ends were recomputed with two programs and agree with memory of the paper's table
  test.each([
    [81, 263, 0.2527, 0.3676],
    [0, 20, 0, 0.1684],
  ])('method 5, Clopper–Pearson, %i of %i', (x, n, low, high) =>
    expectEnds(clopperPearson(x, n), low, high, 4),
  )
})

describe('R package binom, binom.confint, as kept in the statsmodels test results (results_proportion.py)', () => {
  test.each([
    [4, 20, 0.0806576625797981, 0.4160174322518935, 14],
    [4, 200, 0.00780442641634947, 0.05028708690582643, 14],
    [1, 30, 0.00590859, 0.16670391, 8],
    [29, 30, 0.8332961, 0.9940914, 7],
    [0, 30, 0, 0.11351339, 8],
    [30, 30, 0.8864866, 1, 7],
  ])('Wilson %i of %i', (x, n, low, high, digits) => expectEnds(wilson(x, n), low, high, digits))

  test.each([
    [4, 20, 0.05733399705003284, 0.436614002996668, 13],
    [4, 200, 0.005475565879556443, 0.05041360908989634, 13],
    [1, 30, 0.0008435709, 0.17216946, 8],
    [29, 30, 0.8278305, 0.9991564, 7],
    [0, 30, 0, 0.11570331, 8],
    [30, 30, 0.8842967, 1, 7],
  ])('exact %i of %i', (x, n, low, high, digits) => expectEnds(clopperPearson(x, n), low, high, digits))

  test('ends stay inside 0..1 in floating point (38 of 38, 0 of 77)', () => {
    expect(wilson(38, 38)!.high).toBe(1)
    expect(wilson(0, 77)!.low).toBe(0)
    expect(wilson(0, 77)!.high).toBeLessThan(1)
  })
})

describe('Fagerland, Lydersen and Laake, "Recommended confidence intervals for two independent binomial proportions" (2015), 7/34 − 1/34', () => {
  test('Newcombe hybrid score 0.019, 0.34', () => {
    expectEnds(newcombeDifference(7, 34, 1, 34), 0.019, 0.34, 3)
    expectEnds(newcombeDifference(7, 34, 1, 34), 0.01892144, 0.34036869, 8) // recomputed digits
  })
  test('Agresti–Caffo 0.012, 0.32', () => {
    const { low, high } = agrestiCaffoDifference(7, 34, 1, 34)!
    expect(Math.round(low * 1000) / 1000).toBe(0.012)
    expect(Math.round(high * 100) / 100).toBe(0.32)
  })
})

test('Newcombe, Statistics in Medicine 17:873 (1998), method 10, 56/70 − 48/80: 0.0524, 0.3339 (recomputed; paper from memory)', () =>
  expectEnds(newcombeDifference(56, 70, 48, 80), 0.0524, 0.3339, 4))

describe('Garwood, Biometrika 28 (1936), exact Poisson limits (recomputed with two programs)', () => {
  test.each([
    [0, 0, 3.688879],
    [1, 0.025318, 5.571643],
    [2, 0.242209, 7.224688],
    [3, 0.618672, 8.767273],
    [5, 1.623486, 11.668332],
    [10, 4.795389, 18.390356],
    [15, 8.395386, 24.740219],
    [20, 12.21652, 30.888378],
  ])('count %i', (count, low, high) => expectEnds(poissonExact(count), low, high, 6))
})

describe('rate 15/400, R package DescTools, PoissonCI, as kept in the statsmodels tests', () => {
  test('exact', () => expectEnds(poissonRate(15, 400), 0.0209884653319583, 0.0618505471787146, 14))
  test('score', () => expectEnds(poissonRateScore(15, 400), 0.0227264749053794, 0.0618771721463559, 14))
  test('Byar', () => expectEnds(poissonRateByar(15, 400), 0.0219084369245707, 0.0602933510943048, 14))
})
