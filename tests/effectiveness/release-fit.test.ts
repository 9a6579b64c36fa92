import { describe, expect, test } from 'vitest'
import { fitRelease, type Release } from '../../src/effectiveness/release-fit.ts'
import { quantile, random } from '../../src/statistics/index.ts'

const capacity = 3000

interface Shape {
  hz: number
  flow: 'constant' | 'gravity'
  /** Flow at the start, gal/s. */
  peak: number
  volume: number
}

/** A tank's level with noise of 1 % of capacity, 2 % of samples lost, a few wild floats, and a slosh after the end. */
function trace({ hz, flow, peak, volume }: Shape, seed: string) {
  const draw = random(seed)
  const starts = 1 + draw.uniform()
  const length = flow === 'constant' ? volume / peak : volume / (peak * 0.75)
  const ends = starts + length
  const t: number[] = []
  const level: number[] = []
  for (let step = 0; step <= (ends + 2) * hz; step++) {
    const at = step / hz
    if (draw.uniform() < 0.02) continue
    const s = Math.min(1, Math.max(0, (at - starts) / length))
    const released = flow === 'constant' ? volume * s : peak * length * (s - (s * s) / 4)
    const slosh = at > ends ? 0.006 * capacity * Math.exp(ends - at) * Math.sin(7 * (at - ends)) : 0
    const wild = draw.uniform() < 0.005 ? 800 : 0
    t.push(at)
    level.push(capacity - released + slosh + wild + 0.01 * capacity * draw.normal())
  }
  return { t: Float64Array.from(t), level: Float64Array.from(level), starts, ends, length }
}

/** 95th percentiles of the errors of 120 traces: s, percent of the mean flow, percent of the volume. */
function errors(shape: Shape): {
  evacuation_s: number
  flow_pct: number
  volume_pct: number
  start_s: number
} {
  const found: { evacuation: number; flow: number; volume: number; start: number }[] = []
  for (let i = 0; i < 120; i++) {
    const { t, level, starts, length } = trace(shape, `${JSON.stringify(shape)} ${i}`)
    const release = fitRelease(t, level) as Release
    const evacuation = release.ends_s - release.starts_s
    found.push({
      evacuation: Math.abs(evacuation - length),
      flow: 100 * Math.abs(release.volume_gal / evacuation / (shape.volume / length) - 1),
      volume: 100 * Math.abs(release.volume_gal / shape.volume - 1),
      start: Math.abs(release.starts_s - starts),
    })
  }
  const p95 = (of: (one: (typeof found)[number]) => number): number => quantile(found.map(of), 0.95)!
  return {
    evacuation_s: p95((one) => one.evacuation),
    flow_pct: p95((one) => one.flow),
    volume_pct: p95((one) => one.volume),
    start_s: p95((one) => one.start),
  }
}

describe('full loads at 10 Hz and more, noise of 1 % of capacity', () => {
  const shapes = [10, 25, 50].flatMap((hz) =>
    (['constant', 'gravity'] as const).flatMap((flow) =>
      [542, 1154].map((peak) => ({ hz, flow, peak, volume: capacity })),
    ),
  )
  test.each(shapes)(
    '$hz Hz, $flow flow from $peak gal/s: evacuation within 0.15 s, flow within 3 %',
    (shape) => {
      const found = errors(shape)
      expect(found.evacuation_s).toBeLessThan(0.15)
      expect(found.flow_pct).toBeLessThan(3)
      expect(found.volume_pct).toBeLessThan(1.5)
      expect(found.start_s).toBeLessThan(0.15)
    },
  )
})

test('the stated standard error of a quarter load is what its evacuation time really misses', () => {
  const shape: Shape = { hz: 25, flow: 'constant', peak: 900, volume: 750 }
  let within = 0
  for (let i = 0; i < 200; i++) {
    const { t, level, length } = trace(shape, `quarter ${i}`)
    const release = fitRelease(t, level)!
    if (Math.abs(release.ends_s - release.starts_s - length) < 2 * release.length_se_s) within++
  }
  expect(within / 200).toBeGreaterThan(0.85)
  expect(within / 200).toBeLessThan(1)
})

test('gravity bends the curve, constant flow does not', () => {
  const { t, level } = trace({ hz: 25, flow: 'gravity', peak: 800, volume: capacity }, 'bent')
  // Flow from 800 to 400 gal/s: bend 1/3.
  expect(fitRelease(t, level)!.bend).toBeCloseTo(1 / 3, 1)
  const straight = trace({ hz: 25, flow: 'constant', peak: 800, volume: capacity }, 'straight')
  expect(Math.abs(fitRelease(straight.t, straight.level)!.bend)).toBeLessThan(0.06)
})

test('a long quiet record changes nothing, and one that begins within the flow says so', () => {
  const { t, level } = trace({ hz: 25, flow: 'constant', peak: 800, volume: capacity }, 'long')
  const whole = fitRelease(t, level)!
  const quiet = Array.from({ length: 2000 }, (_, i) => i / 25)
  const long = fitRelease(
    Float64Array.of(...quiet, ...t.map((at) => at + 80)),
    Float64Array.of(...quiet.map(() => capacity), ...level),
  )!
  expect(long.ends_s - long.starts_s).toBeCloseTo(whole.ends_s - whole.starts_s, 1)
  expect([whole.isCutAtStart, whole.isCutAtEnd]).toEqual([false, false])
  const from = t.findIndex((at) => at > whole.starts_s + 1)
  expect(fitRelease(t.subarray(from), level.subarray(from))!.isCutAtStart).toBe(true)
})

test('no release is read where there is none, or too little', () => {
  const draw = random('still')
  const t = Float64Array.from({ length: 100 }, (_, i) => i / 10)
  expect(
    fitRelease(
      t,
      t.map(() => 2000),
    ),
  ).toBeNull()
  expect(
    fitRelease(
      t,
      t.map(() => 2000 + 30 * draw.normal()),
    ),
  ).toBeNull()
  expect(fitRelease(t.subarray(0, 7), t.subarray(0, 7))).toBeNull()
})

test('a million samples are fitted in two seconds of one processor', () => {
  const { t, level } = trace({ hz: 50, flow: 'gravity', peak: 542, volume: capacity }, 'many')
  const before = process.cpuUsage()
  for (let samples = 0; samples < 1_000_000; samples += t.length) fitRelease(t, level)
  const { user } = process.cpuUsage(before)
  expect(user / 1e6).toBeLessThan(2)
})
