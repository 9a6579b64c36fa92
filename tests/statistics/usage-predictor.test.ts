import { expect, test } from 'vitest'
import { invertPositive } from '../../src/statistics/cholesky.ts'
import { componentsOf } from '../../src/statistics/usage-components.ts'
import { predictorOf, type SeenLevel } from '../../src/statistics/usage-predictor.ts'

const variance = { mean: 0.2, season: 0.11, unit: 0.04, both: 0.07 }

/** Levels of 7 units in 4 seasons, not each in all of them. */
const seen: SeenLevel[] = []
for (let unit = 0; unit < 7; unit++)
  for (let season = 2020; season < 2024; season++)
    if ((unit * 5 + season * 3) % 4 !== 0)
      seen.push({
        unit,
        season,
        level: 0.4 + ((unit * 37 + season * 17) % 23) / 15,
        noise: 0.05 + ((unit * 11 + season) % 7) / 20,
      })

/** The definition: mean c'V⁻¹(y − 1) and variance c₀ − c'V⁻¹c, with V and c the covariances that the components give. */
function byDefinition(unit: number | null, season: number): { mean: number; variance: number } {
  const shared = (a: { unit: number | null; season: number }, b: { unit: number; season: number }): number =>
    variance.mean +
    (a.season === b.season ? variance.season : 0) +
    (a.unit === b.unit ? variance.unit : 0) +
    (a.season === b.season && a.unit === b.unit ? variance.both : 0)
  const n = seen.length
  const matrix = new Float64Array(n * n)
  seen.forEach((a, i) => {
    seen.forEach((b, j) => {
      matrix[i * n + j] = shared(a, b) + (i === j ? a.noise : 0)
    })
  })
  const inverse = invertPositive(matrix, n)
  const link = seen.map((one) => shared({ unit, season }, one))
  let mean = 1
  let explained = 0
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++) {
      mean += link[i]! * inverse[i * n + j]! * (seen[j]!.level - 1)
      explained += link[i]! * inverse[i * n + j]! * link[j]!
    }
  return { mean, variance: variance.mean + variance.season + variance.unit + variance.both - explained }
}

test.each([
  ['a unit in a season that it was seen in', 1, 2022],
  ['a unit in a season that only others were seen in', 0, 2020],
  ['a unit in a season to come', 3, 2024],
  ['a unit never seen, in a season that is known', null, 2022],
  ['a unit never seen, in a season to come', null, 2030],
  ['a unit of another number than any', 99, 2022],
])('%s: what the definition of the best linear prediction gives', (_, unit, season) => {
  const found = predictorOf(seen, variance)(unit, season)
  const right = byDefinition(unit, season)
  expect(found.mean).toBeCloseTo(right.mean, 11)
  expect(found.variance).toBeCloseTo(right.variance, 11)
})

test('every pair of a season, and every pair of a unit, counts once in the components', () => {
  const records = seen.map(({ unit, season, level }) => ({ unit, season, use: 50 * level, expected: 50 }))
  const pairs = (isPair: (a: SeenLevel, b: SeenLevel) => boolean): { mean: number; count: number } => {
    let sum = 0
    let count = 0
    seen.forEach((a, i) => {
      for (const b of seen.slice(i + 1))
        if (isPair(a, b)) {
          sum += (a.level - 1) * (b.level - 1)
          count += 1
        }
    })
    return { mean: sum / count, count }
  }
  const lean = (found: number, df: number, guess: number): number =>
    Math.max(0.1 * guess, (df * found + 3 * guess) / (df + 3))
  const season = lean(pairs((a, b) => a.season === b.season).mean * (4 / 3), 3, 0.1)
  const unit = lean(pairs((a, b) => a.unit === b.unit).mean + season / 4, 6, 0.03)
  const found = componentsOf(records, 2)
  expect(found.season).toBeCloseTo(season, 12)
  expect(found.unit).toBeCloseTo(unit, 12)
})
