import { describe, expect, test } from 'vitest'
import { huberRegression } from '../../src/statistics/huber.ts'
import { leastSquares } from '../../src/statistics/least-squares.ts'
import { fitLine } from '../../src/statistics/line.ts'
import { theilSen } from '../../src/statistics/theil-sen.ts'

/** Digits of agreement with a certified value. */
function digits(actual: number, certified: number): number {
  return actual === certified ? 16 : -Math.log10(Math.abs(actual - certified) / Math.abs(certified))
}

const numbers = (text: string): number[] =>
  text
    .trim()
    .split(/[\s,;]+/)
    .map(Number)

describe('NIST Statistical Reference Datasets, linear regression, Norris (calibration line, 36 points)', () => {
  const x =
    numbers(`0.2 337.4 118.2 884.6 10.1 226.5 666.3 996.3 448.6 777.0 558.2 0.4 0.6 775.5 666.9 338.0 447.5 11.6 556.0
    228.1 995.8 887.6 120.2 0.3 0.3 556.8 339.1 887.2 999.0 779.0 11.1 118.3 229.2 669.1 448.9 0.5`)
  const y =
    numbers(`0.1 338.8 118.1 888.0 9.2 228.1 668.5 998.5 449.1 778.9 559.2 0.3 0.1 778.1 668.8 339.3 448.9 10.8 557.7
    228.3 998.0 888.8 119.6 0.3 0.6 557.6 339.3 888.0 998.5 778.9 10.2 117.6 228.9 668.4 449.2 0.2`)
  const fit = fitLine(x, y)!
  test.each([
    ['intercept', fit.intercept, -0.262323073774029],
    ['slope', fit.slope, 1.00211681802045],
    ['intercept sd', fit.interceptSd, 0.232818234301152],
    ['slope sd', fit.slopeSd, 0.429796848199937e-3],
    ['residual sd', fit.residualSd, 0.884796396144373],
    ['R squared', fit.rSquared, 0.999993745883712],
    ['SSE', fit.sse, 26.6173985294224],
    ['MSE', fit.sse / fit.df, 0.782864662630069],
    ['SSR', fit.ssr, 4255954.13232369],
    ['F', fit.f, 5436385.54079785],
  ])('%s to 12 digits', (_, actual, certified) => expect(digits(actual, certified)).toBeGreaterThan(12))
  test('34 degrees of freedom', () => expect(fit.df).toBe(34))
})

describe('NIST Statistical Reference Datasets, linear regression, Longley (ill-conditioned, 16 × 6)', () => {
  const rows =
    `60323,83,234289,2356,1590,107608,1947;61122,88.5,259426,2325,1456,108632,1948;60171,88.2,258054,3682,1616,109773,1949
61187,89.5,284599,3351,1650,110929,1950;63221,96.2,328975,2099,3099,112075,1951;63639,98.1,346999,1932,3594,113270,1952
64989,99,365385,1870,3547,115094,1953;63761,100,363112,3578,3350,116219,1954;66019,101.2,397469,2904,3048,117388,1955
67857,104.6,419180,2822,2857,118734,1956;68169,108.4,442769,2936,2798,120445,1957;66513,110.8,444546,4681,2637,121950,1958
68655,112.6,482704,3813,2552,123366,1959;69564,114.2,502601,3931,2514,125368,1960;69331,115.7,518173,4806,2572,127852,1961
70551,116.9,554894,4007,2827,130081,1962`
      .split(/[;\n]/)
      .map(numbers)
  const fit = leastSquares(
    [1, 2, 3, 4, 5, 6].map((j) => rows.map((r) => r[j]!)),
    rows.map((r) => r[0]!),
  )
  const coefficients = [
    -3482258.63459582, 15.0618722713733, -0.035819179292591, -2.02022980381683, -1.03322686717359,
    -0.0511041056535807, 1829.15146461355,
  ]
  const sds = [
    890420.383607373, 84.9149257747669, 0.0334910077722432, 0.488399681651699, 0.214274163161675,
    0.22607320006937, 455.478499142212,
  ]
  test.each(coefficients.map((c, i) => [i, c]))('coefficient %i to 10 digits', (i, c) =>
    expect(digits(fit.coefficients[i]!, c)).toBeGreaterThan(10),
  )
  test.each(sds.map((c, i) => [i, c]))('standard deviation %i to 10 digits', (i, c) =>
    expect(digits(fit.sds[i]!, c)).toBeGreaterThan(10),
  )
  test('residual sd, R squared, F, SSE to 10 digits', () => {
    expect(digits(fit.residualSd, 304.854073561965)).toBeGreaterThan(10)
    expect(digits(fit.rSquared, 0.995479004577296)).toBeGreaterThan(10)
    expect(digits(fit.f, 330.285339234588)).toBeGreaterThan(10)
    expect(digits(fit.sse, 836424.055505915)).toBeGreaterThan(10)
  })
})

test('P. K. Sen, JASA 63 (1968), worked example: slope 4, 93 % interval 26/7 to 35/8, intercepts 4 and 6 (as in the scipy and R deming tests; the printed interval has arithmetic errors)', () => {
  const fit = theilSen([1, 2, 3, 4, 10, 12, 18], [9, 15, 19, 20, 45, 55, 78], 0.93)!
  expect(fit.slopes).toBe(21)
  expect(fit.slope).toBe(4)
  expect(fit.slopeLow).toBeCloseTo(26 / 7, 12)
  expect(fit.slopeHigh).toBeCloseTo(35 / 8, 12)
  expect(fit.interceptSeparate).toBe(4)
  expect(fit.interceptJoint).toBe(6)
})

describe('stack-loss data (Brownlee 1965), Huber M-estimate, R package MASS, rlm, as kept in the statsmodels tests', () => {
  const rows =
    `42,80,27,89;37,80,27,88;37,75,25,90;28,62,24,87;18,62,22,87;18,62,23,87;19,62,24,93;20,62,24,93;15,58,23,87
14,58,18,80;14,58,18,89;13,58,17,88;11,58,18,82;12,58,19,93;8,50,18,89;7,50,18,86;8,50,19,72;8,50,19,79;9,50,20,80;15,56,20,82
15,70,20,91`
      .split(/[;\n]/)
      .map(numbers)
  const x = [1, 2, 3].map((j) => rows.map((r) => r[j]!))
  const y = rows.map((r) => r[0]!)
  const fit = huberRegression(x, y)
  test('coefficients and scale to 1e-4', () => {
    const expected = [-41.02653105, 0.82937387, 0.92610818, -0.12784916]
    expected.forEach((c, i) => {
      expect(Math.abs(fit.coefficients[i]! - c)).toBeLessThan(1e-4)
    })
    expect(Math.abs(fit.scale - 2.4407138)).toBeLessThan(3e-4)
  })
  test('weights of rows 3, 4 and 21; all others 1', () => {
    expect(fit.weights[2]).toBeCloseTo(0.7858871, 3)
    expect(fit.weights[3]).toBeCloseTo(0.50494094, 3)
    expect(fit.weights[20]).toBeCloseTo(0.36814106, 3)
    expect(fit.weights.filter((w) => w === 1)).toHaveLength(18)
  })
  test('fully converged digits (recomputed)', () => {
    const expected = [-41.02649835, 0.82938433, 0.92606597, -0.12784672]
    expected.forEach((c, i) => {
      expect(fit.coefficients[i]!).toBeCloseTo(c, 7)
    })
    expect(fit.scale).toBeCloseTo(2.44053609, 7)
  })
  test('least squares of the same data (recomputed)', () => {
    const expected = [-39.91967442, 0.7156402, 1.29528612, -0.15212252]
    expected.forEach((c, i) => {
      expect(leastSquares(x, y).coefficients[i]!).toBeCloseTo(c, 7)
    })
  })
})
