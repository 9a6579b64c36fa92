import { expect, test } from 'vitest'
import { random } from '../../src/statistics/random.ts'

const DRAWS = 40_000

/** Mean and variance of many draws. */
function moments(draw: () => number): [number, number] {
  const values = Float64Array.from({ length: DRAWS }, draw)
  const mean = values.reduce((s, v) => s + v, 0) / DRAWS
  return [mean, values.reduce((s, v) => s + (v - mean) ** 2, 0) / (DRAWS - 1)]
}

test('a seed fixes the sequence, numbers and texts alike; other seeds differ', () => {
  const take = (seed: number | string): number[] => Array.from({ length: 5 }, random(seed).uniform)
  expect(take(7)).toEqual(take(7))
  expect(take('7')).toEqual(take(7))
  expect(take(8)).not.toEqual(take(7))
})

test.each<[string, (r: ReturnType<typeof random>) => number, number, number]>([
  ['uniform', (r) => r.uniform(), 1 / 2, 1 / 12],
  ['below 10', (r) => r.below(10), 4.5, 8.25],
  ['normal', (r) => r.normal(), 0, 1],
  ['exponential', (r) => r.exponential(), 1, 1],
  ['gamma of shape 0.4', (r) => r.gamma(0.4), 0.4, 0.4],
  ['gamma of shape 7', (r) => r.gamma(7), 7, 7],
  ['Poisson of mean 3', (r) => r.poisson(3), 3, 3],
  ['Poisson of mean 90', (r) => r.poisson(90), 90, 90],
  ['negative binomial of mean 6, size 2', (r) => r.negativeBinomial(6, 2), 6, 24],
  ['geometric of chance 0.2', (r) => r.geometric(0.2), 5, 20],
])('%s has its mean and variance', (name, draw, mean, variance) => {
  const r = random(`moments of ${name}`)
  const [m, v] = moments(() => draw(r))
  expect(Math.abs(m - mean)).toBeLessThan(4.5 * Math.sqrt(variance / DRAWS))
  expect(Math.abs(v / variance - 1)).toBeLessThan(0.08)
})

test('uniforms stay below 1 and fill their bins evenly', () => {
  const r = random('bins')
  const bins = new Float64Array(50)
  for (let i = 0; i < DRAWS; i++) {
    const u = r.uniform()
    expect(u < 1 && u >= 0).toBe(true)
    bins[Math.floor(u * 50)]! += 1
  }
  const chiSquared = bins.reduce((s, count) => s + (count - DRAWS / 50) ** 2 / (DRAWS / 50), 0)
  expect(chiSquared).toBeLessThan(86) // 99.9 % point at 49 degrees of freedom is 85.4
})

test('a mean of nothing is nothing', () => {
  expect(random(1).poisson(0)).toBe(0)
  expect(random(1).negativeBinomial(0, 1)).toBe(0)
  expect(random(1).geometric(1)).toBe(1)
})
