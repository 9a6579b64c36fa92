import { describe, expect, test } from 'vitest'
import { ewmaChart, individualsChart, proportionsChart } from '../../src/statistics/control-charts.ts'
import {
  betaInterval,
  cramerVonMises,
  fitPowerLaw,
  laplaceTrend,
  mtbfInterval,
} from '../../src/statistics/repairable.ts'
import { crpsEnsemble, crpsNormal, pinballLoss } from '../../src/statistics/scores.ts'

describe('NIST/SEMATECH e-Handbook of Statistical Methods, control charts', () => {
  test('6.3.2.4 EWMA chart (data and results from memory of the handbook, recomputed and consistent)', () => {
    const data = [
      52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6,
      52.4, 53.6, 52.1,
    ]
    const expected = [
      50.6, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52, 50.05, 49.38,
      49.92, 50.73, 51.23, 51.94, 51.99,
    ]
    const chart = ewmaChart(data, { center: 50, sd: 2.0539, lambda: 0.3 })
    expected.forEach((z, i) => {
      expect(Math.abs(chart.ewma[i]! - z)).toBeLessThan(0.0051)
    })
    expect(chart.upper).toBeCloseTo(52.5884, 3)
    expect(chart.lower).toBeCloseTo(47.4115, 3)
    expect(chart.alarmIndex).toBeNull()
  })

  test('6.3.2.2 individuals and moving range', () => {
    const chart = individualsChart([49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1])!
    expect(chart.center).toBeCloseTo(50.81, 10)
    expect(chart.upper).toBeCloseTo(55.8041, 4)
    expect(chart.lower).toBeCloseTo(45.8159, 4)
    expect(chart.movingRangeMean).toBeCloseTo(1.8778, 4)
    expect(chart.movingRangeUpper).toBeCloseTo(6.1347, 3)
  })

  test('6.3.3.2 proportions', () => {
    const counts = [
      12, 15, 8, 10, 4, 7, 16, 9, 14, 10, 5, 6, 17, 12, 22, 8, 10, 5, 13, 11, 20, 18, 24, 15, 9, 12, 7, 13, 9,
      6,
    ]
    const chart = proportionsChart(counts, new Array(30).fill(50))!
    expect(chart.center).toBeCloseTo(347 / 1500, 12)
    expect(chart.upper[0]).toBeCloseTo(0.4102, 4)
    expect(chart.lower[0]).toBeCloseTo(0.0524, 4)
  })
})

describe('Gneiting and Raftery, "Strictly Proper Scoring Rules", JASA 102 (2007)', () => {
  test.each([
    [0, 0.23369497725510913],
    [1, 0.6024413576276163],
    [1.96, 1.414700556138123],
  ])('CRPS of N(0, 1) at %d', (y, expected) => expect(crpsNormal(y, 0, 1)).toBeCloseTo(expected, 13))
  test('at 0 it is (√2 − 1)/√π; it scales with sd and tends to the absolute error', () => {
    expect(crpsNormal(0, 0, 1)).toBeCloseTo((Math.SQRT2 - 1) / Math.sqrt(Math.PI), 14)
    expect(crpsNormal(13, 10, 3)).toBeCloseTo(3 * crpsNormal(1, 0, 1), 13)
    expect(crpsNormal(13, 10, 0)).toBe(3)
    expect(crpsNormal(13, 10, 1e-9)).toBeCloseTo(3, 8)
  })
  test('ensemble {1, 2, 3}, plain and fair (worked by hand)', () => {
    expect(crpsEnsemble(2, [1, 2, 3])).toBeCloseTo(2 / 9, 15)
    expect(crpsEnsemble(0, [3, 1, 2])).toBeCloseTo(14 / 9, 15)
    expect(crpsEnsemble(2, [1, 2, 3], { fair: true })).toBeCloseTo(0, 15)
  })
  test('pinball loss', () => {
    expect(pinballLoss(10, 8, 0.8)).toBeCloseTo(1.6, 14)
    expect(pinballLoss(6, 8, 0.8)).toBeCloseTo(0.4, 14)
  })
})

describe('power-law process', () => {
  const nist = [5, 40, 43, 175, 389, 712, 747, 795, 1299, 1478]

  test('NIST/SEMATECH e-Handbook chapter 8, published R script, time-terminated at 1,500', () => {
    const fit = fitPowerLaw(nist, 1500)!
    expect(fit.growth).toBeCloseTo(0.516494, 6)
    expect(fit.betaUnbiased).toBeCloseTo(0.483506, 6)
    expect(fit.mtbfModified).toBeCloseTo(310.234, 3)
    const [low, high] = mtbfInterval(fit, 0.8)
    expect(low).toBeCloseTo(157.7138, 3)
    expect(high).toBeCloseTo(548.5566, 3)
    // the script's scale belongs to the modified slope
    expect(10 / 1500 ** fit.betaUnbiased).toBeCloseTo(0.2913003, 6)
  })

  test('the same data, recomputed: plain estimate, chi-squared interval, Laplace and MIL-HDBK trend', () => {
    const fit = fitPowerLaw(nist, 1500)!
    expect(fit.beta).toBeCloseTo(0.537228866, 9)
    expect(fit.lambda).toBeCloseTo(0.19665822, 7)
    const [low, high] = betaInterval(fit, 0.8)
    expect(low).toBeCloseTo(0.3342264, 7)
    expect(high).toBeCloseTo(0.7631868, 7)
    expect(laplaceTrend(nist, 1500)).toBeCloseTo(-1.32695, 5)
    expect(fit.trend).toBeCloseTo(37.22808, 5)
    expect(fit.trendDf).toBe(20)
  })

  test('MIL-HDBK-189 (1981), appendix C, 27 failures in 300', () => {
    const times = [
      2.6, 16.5, 16.5, 17.0, 21.4, 29.1, 33.3, 56.5, 63.1, 70.6, 73.0, 77.7, 93.9, 95.5, 98.1, 101.1, 132.0,
      142.2, 147.7, 149.0, 167.2, 190.7, 193.0, 198.7, 251.9, 282.5, 286.1,
    ]
    const fit = fitPowerLaw(times, 300)!
    expect(fit.beta).toBeCloseTo(0.7163392624, 9)
    expect(fit.lambda).toBeCloseTo(0.4538418614, 9)
    expect(fit.intensity).toBeCloseTo(0.0644705336, 9)
    expect(fit.mtbf).toBeCloseTo(15.510962, 6)
    expect(fit.betaUnbiased).toBeCloseTo(0.6898081786, 9)
    expect(cramerVonMises(times, fit)).toBeCloseTo(0.0910611, 7)
  })

  test('22 failures, failure-terminated (worked example quoted in reliability texts)', () => {
    const times = [
      2.7, 10.3, 12.5, 30.6, 57.0, 61.3, 80.0, 109.5, 125.0, 128.6, 143.8, 167.9, 229.2, 296.7, 320.6, 328.2,
      366.2, 396.7, 421.1, 438.2, 501.2, 620.0,
    ]
    const fit = fitPowerLaw(times)!
    expect(fit.beta).toBeCloseTo(0.6142104, 7)
    expect(fit.lambda).toBeCloseTo(0.4239422, 6)
    expect(fit.intensity).toBeCloseTo(0.02179456, 8)
  })
})
