import { describe, expect, test } from 'vitest'
import { lag1Autocorrelation, mean, sampleSd } from '../../src/statistics/moments.ts'
import { type QuantileType, quantile, weightedQuantile } from '../../src/statistics/quantiles.ts'

const pairs = (m: number, low: number, high: number): Float64Array =>
  Float64Array.from({ length: 1001 }, (_, i) => (i === 0 ? m : i % 2 === 1 ? low : high))

const mavro =
  `2.00180 2.00170 2.00180 2.00190 2.00180 2.00170 2.00150 2.00140 2.00150 2.00150 2.00170 2.00180 2.00180 2.00190
2.00190 2.00210 2.00200 2.00160 2.00140 2.00130 2.00130 2.00150 2.00150 2.00160 2.00150 2.00140 2.00130 2.00140 2.00150 2.00140
2.00150 2.00160 2.00150 2.00160 2.00190 2.00200 2.00200 2.00210 2.00220 2.00230 2.00240 2.00250 2.00270 2.00260 2.00260 2.00260
2.00270 2.00260 2.00250 2.00240`
    .split(/\s+/)
    .map(Number)

/** Michelson's 100 speeds of light, in km/s above 299,000 (written from memory; the certified digits below confirm them). */
const michelso =
  `850 740 900 1070 930 850 950 980 980 880 1000 980 930 650 760 810 1000 1000 960 960 960 940 960 940 880 800
850 880 900 840 830 790 810 880 880 830 800 790 760 800 880 880 880 860 720 720 620 860 970 950 880 910 850 870 840 840 850 840
840 840 890 810 810 820 800 770 760 740 750 760 910 920 890 860 880 720 840 850 850 780 890 840 780 810 760 810 790 810 820 850
870 870 810 740 810 940 950 800 810 870`
    .split(/\s+/)
    .map((v) => (299000 + Number(v)) / 1000)

describe('NIST Statistical Reference Datasets, univariate summary statistics', () => {
  // name, data, mean, sd, lag-1, relative tolerances of sd and lag-1 (what the binary form of the data allows)
  test.each([
    ['Michelso', Float64Array.from(michelso), 299.8524, 0.0790105478190518, 0.535199668621283, 5e-12],
    ['Mavro', Float64Array.from(mavro), 2.001856, 0.000429123454003053, 0.937989183438248, 1e-12],
    ['NumAcc1', Float64Array.of(10000001, 10000003, 10000002), 10000002, 1, -0.5, 1e-15],
    ['NumAcc2', pairs(1.2, 1.1, 1.3), 1.2, 0.1, -0.999, 1e-13],
    ['NumAcc3', pairs(1000000.2, 1000000.1, 1000000.3), 1000000.2, 0.1, -0.999, 2e-9],
    ['NumAcc4', pairs(10000000.2, 10000000.1, 10000000.3), 10000000.2, 0.1, -0.999, 2e-8],
  ])('%s', (_, data, center, sd, lag, tolerance) => {
    expect(Math.abs(mean(data)! / center - 1)).toBeLessThan(1e-15)
    expect(Math.abs(sampleSd(data)! / sd - 1)).toBeLessThan(tolerance)
    expect(Math.abs(lag1Autocorrelation(data)! / lag - 1)).toBeLessThan(Math.max(tolerance, 1e-12))
  })
})

describe('Hyndman and Fan, "Sample Quantiles in Statistical Packages", The American Statistician 50 (1996); values recomputed with numpy', () => {
  const ten = Float64Array.from({ length: 10 }, (_, i) => i + 1)
  const five = [2, 3, 5, 8, 13]
  const levels = [0.1, 0.25, 0.5, 0.75, 0.9]
  const table: [QuantileType, number[], number[]][] = [
    [1, [1, 3, 5, 8, 9], [2, 3, 5, 8, 13]],
    [2, [1.5, 3, 5.5, 8, 9.5], [2, 3, 5, 8, 13]],
    [3, [1, 2, 5, 8, 9], [2, 2, 3, 8, 8]],
    [4, [1, 2.5, 5, 7.5, 9], [2, 2.25, 4, 7.25, 10.5]],
    [5, [1.5, 3, 5.5, 8, 9.5], [2, 2.75, 5, 9.25, 13]],
    [6, [1.1, 2.75, 5.5, 8.25, 9.9], [2, 2.5, 5, 10.5, 13]],
    [7, [1.9, 3.25, 5.5, 7.75, 9.1], [2.4, 3, 5, 8, 11]],
    [8, [1.366667, 2.916667, 5.5, 8.083333, 9.633333], [2, 2.666667, 5, 9.666667, 13]],
    [9, [1.4, 2.9375, 5.5, 8.0625, 9.6], [2, 2.6875, 5, 9.5625, 13]],
  ]
  test.each(table)('type %i', (type, ofTen, ofFive) => {
    levels.forEach((p, i) => {
      expect(quantile(ten, p, type)).toBeCloseTo(ofTen[i]!, 6)
      expect(quantile(five, p, type)).toBeCloseTo(ofFive[i]!, 6)
    })
  })
  test('weighted type 1', () => {
    expect(levels.map((p) => weightedQuantile([10, 20, 30, 40], [1, 2, 3, 4], p))).toEqual([
      10, 20, 30, 40, 40,
    ])
  })
})
