import { describe, expect, test } from 'vitest'
import { dayOfYear } from '../../src/statistics/calendar.ts'
import {
  accumulate,
  firstPassageDays,
  passageDays,
  passagePerPath,
  useByDay,
} from '../../src/statistics/passage.ts'
import { fitUsage } from '../../src/statistics/usage-model.ts'
import { planUsage } from '../../src/statistics/usage-paths.ts'
import { bursty, USUAL } from './bursty-seasons.ts'
import { replay, type Tally } from './replay.ts'

const HORIZONS = [14, 30, 60]

describe('calibration over 20 invented seasons of bursty use, three seasons of history each', () => {
  // the season is censored at the end of its year; or its next year is let run on, so that hardly anything is censored
  test.each([
    ['censored at the end of the year', 1, 15],
    ['followed into the next year', 2, 30],
  ])(
    '%s: the 10–90 per cent interval holds 75 to 85 per cent and beats a straight line',
    (name, years, step) => {
      const tallies = new Map<number, Tally>()
      for (let seed = 1; seed <= 20; seed++) {
        replay(bursty(seed, { ...USUAL, seasons: 3 + years }), HORIZONS, tallies, {
          tail: 365 * years,
          step,
          paths: years === 1 ? 200 : 120,
        })
      }
      for (const h of HORIZONS) {
        const t = tallies.get(h)!
        const held = t.credit / t.forecasts
        console.log(
          `${name}, ${h} days: ${t.forecasts} forecasts, ${(100 * held).toFixed(1)} % inside, ${t.below} before, ${t.above} after, ` +
            `${t.censored} censored; pinball loss ${(t.loss / t.forecasts).toFixed(1)} days against ` +
            `${(t.straightLoss / t.forecasts).toFixed(1)} of a straight line`,
        )
        expect(t.forecasts).toBeGreaterThan(300)
        expect(held).toBeGreaterThan(0.75)
        expect(held).toBeLessThan(0.85)
        expect(t.loss).toBeLessThan(0.7 * t.straightLoss)
      }
    },
  )

  test.each([
    ['long campaigns', { dispatchDays: 10, chanceInside: 0.15, chanceOutside: 0.03 }],
    ['seasons that differ widely', { seasonSpread: 0.5, bothSpread: 0.3 }],
    ['one season of history', { seasons: 3 }],
  ])('%s: still 70 to 90 per cent (followed into the next year)', (_, change) => {
    const tallies = new Map<number, Tally>()
    const nature = { ...USUAL, seasons: 5, ...change }
    for (let seed = 101; seed <= 110; seed++)
      replay(bursty(seed, nature), [30], tallies, { tail: 730, step: 30, paths: 120 })
    const t = tallies.get(30)!
    expect(t.forecasts).toBeGreaterThan(120)
    expect(t.credit / t.forecasts).toBeGreaterThan(0.7)
    expect(t.credit / t.forecasts).toBeLessThan(0.9)
  })
})

describe('paths', () => {
  const world = bursty(3)
  const asOf = world.firstDay + world.days - 365 + 200
  const model = fitUsage(world, { asOf })!
  const plan = planUsage(model, { unit: 2, horizon: 400, seed: 'a' })
  const future = accumulate(plan, world.counts)

  test('one seed gives one future; another seed another', () => {
    const again = accumulate(
      planUsage(fitUsage(world, { asOf })!, { unit: 2, horizon: 400, seed: 'a' }),
      world.counts,
    )
    expect(again.cumulative).toEqual(future.cumulative)
    const other = accumulate(planUsage(model, { unit: 2, horizon: 400, seed: 'b' }), world.counts)
    expect(other.cumulative).not.toEqual(future.cumulative)
  })

  test('nothing from the day of the forecast on is looked at', () => {
    const hidden = { ...world, counts: world.counts.slice() }
    for (let u = 0; u < world.units; u++) {
      hidden.counts.fill(1e6, u * world.days + (asOf - world.firstDay), (u + 1) * world.days)
    }
    const blind = fitUsage(hidden, { asOf })!
    expect(
      accumulate(planUsage(blind, { unit: 2, horizon: 400, seed: 'a' }), hidden.counts).cumulative,
    ).toEqual(future.cumulative)
  })

  test('use never falls along a path, and the winter stands still', () => {
    let falls = 0
    for (let p = 0; p < future.paths; p++) {
      for (let d = 1; d < 400; d++) {
        if (future.cumulative[p * 400 + d]! < future.cumulative[p * 400 + d - 1]!) falls += 1
      }
    }
    expect(falls).toBe(0)
    const day = (month: number, date: number): number => Date.UTC(2024, month - 1, date) / 86_400_000 - asOf
    const before = useByDay(future, day(1, 1), [0.5])[0]!
    expect(useByDay(future, day(3, 1), [0.5])[0]! - before).toBeLessThan(1)
  })

  test('limits: days rise with the limit and with the level, and agree with the paths', () => {
    let earlier = [0, 0, 0]
    for (const limit of [1, 5, 20, 50, 100]) {
      const days = passageDays(future, limit).map((d) => d ?? Number.POSITIVE_INFINITY)
      expect(days[0]!).toBeLessThanOrEqual(days[1]!)
      expect(days[1]!).toBeLessThanOrEqual(days[2]!)
      days.forEach((d, i) => {
        expect(d).toBeGreaterThanOrEqual(earlier[i]!)
      })
      earlier = days
      const sorted = passagePerPath(future, limit).sort()
      if (Number.isFinite(days[1]!)) expect(days[1]! - asOf).toBe(sorted[149])
    }
  })

  test('a limit beyond the horizon is null; a limit already reached is the first day', () => {
    expect(passageDays(future, 1e9)).toEqual([null, null, null])
    expect(passageDays(future, 0)).toEqual([asOf, asOf, asOf])
  })

  test('of two limits the first to come governs', () => {
    const both = firstPassageDays([
      { paths: future, limit: 30 },
      { paths: future, limit: 60 },
    ])
    expect(both).toEqual(passageDays(future, 30))
  })

  test('a second counter shares the same futures: twice the use reaches twice the limit on the same day', () => {
    const plain = accumulate(plan, world.counts, { whole: false })
    const twice = accumulate(
      plan,
      world.counts.map((v) => 2 * v),
      { whole: false },
    )
    expect(passagePerPath(twice, 80)).toEqual(passagePerPath(plain, 40))
  })

  test('rounding to whole counts has no bias', () => {
    const plain = accumulate(plan, world.counts, { whole: false })
    const sum = (paths: typeof plain): number => {
      let total = 0
      for (let p = 0; p < paths.paths; p++) total += paths.cumulative[p * 400 + 399]!
      return total
    }
    expect(Math.abs(sum(future) / sum(plain) - 1)).toBeLessThan(0.01)
  })

  test('planned season: idle outside, used inside; a planned mean is met', () => {
    const from = asOf + 50
    const planned = accumulate(
      planUsage(model, {
        unit: 2,
        horizon: 300,
        seed: 1,
        paths: 1000,
        windows: [{ from, to: from + 99 }],
        meanPerDay: 4,
      }),
      world.counts,
    )
    expect(useByDay(planned, 49, [1])[0]).toBe(0)
    let total = 0
    for (let p = 0; p < 1000; p++) {
      expect(planned.cumulative[p * 300 + 299]).toBe(planned.cumulative[p * 300 + 149])
      total += planned.cumulative[p * 300 + 299]!
    }
    expect(total / 1000 / 100).toBeGreaterThan(3.2)
    expect(total / 1000 / 100).toBeLessThan(4.8)
  })

  test('a unit without history is forecast from the others, and wider', () => {
    const stranger = accumulate(planUsage(model, { unit: null, horizon: 400, seed: 1 }), world.counts)
    const [low, , high] = useByDay(stranger, 364)
    expect(low!).toBeGreaterThan(0)
    expect(high!).toBeGreaterThan(low!)
    const spread = (unit: number | null): number => {
      const { mean, variance } = model.level.predict(unit, 2024)
      return Math.sqrt(variance) / mean
    }
    expect(spread(null)).toBeGreaterThan(spread(2))
  })
})

describe('little or odd history', () => {
  test('no use at all gives no model', () => {
    expect(fitUsage({ units: 2, days: 30, firstDay: 19000, counts: new Float64Array(60) })).toBeNull()
    expect(
      fitUsage({ units: 1, days: 30, firstDay: 19000, counts: new Float64Array(30).fill(Number.NaN) }),
    ).toBeNull()
  })
  test('a fortnight of one unit still gives a forecast', () => {
    const counts = Float64Array.from([0, 3, 5, 2, 0, 0, 0, 4, 6, 1, 0, 0, 2, 0])
    const model = fitUsage({ units: 1, days: 14, firstDay: Date.UTC(2024, 6, 1) / 86_400_000, counts })!
    const days = passageDays(accumulate(planUsage(model, { unit: 0, horizon: 400, seed: 1 }), counts), 20)
    expect(days[1]).not.toBeNull()
  })
  test.each([
    [0, 0],
    [1, 3],
    [3, 9],
    [21, 30],
  ])('a first season whose last %i days have no log goes on as it was', (silent, slack) => {
    const counts = new Float64Array(41 + silent).fill(4, 0, 41)
    const firstDay = Date.UTC(2026, 5, 10) / 86_400_000
    const model = fitUsage({ units: 1, days: counts.length, firstDay, counts })!
    const future = accumulate(planUsage(model, { unit: 0, horizon: 400, seed: 1 }), counts)
    const days = passageDays(future, 100)
    // 25 days at four a day
    expect(days[0]! - model.asOf).toBeGreaterThan(15)
    expect(days[1]! - model.asOf).toBeLessThan(26 + slack)
  })
  test('idle for longer than three weeks, and the season is taken for over', () => {
    const counts = new Float64Array(41 + 22).fill(4, 0, 41)
    const firstDay = Date.UTC(2026, 5, 10) / 86_400_000
    const model = fitUsage({ units: 1, days: counts.length, firstDay, counts })!
    const future = accumulate(planUsage(model, { unit: 0, horizon: 400, seed: 1 }), counts)
    expect(passageDays(future, 100)[1]! - model.asOf).toBeGreaterThan(200)
  })
  test('days on which a unit was not watched are no idle days', () => {
    const world = bursty(5, { ...USUAL, units: 2, seasons: 2 })
    const gappy = { ...world, counts: world.counts.slice() }
    gappy.counts.fill(Number.NaN, 0, 365)
    const model = fitUsage(gappy)!
    expect(model.level.unitSeasons.some((s) => s.unit === 0 && s.season === 2020)).toBe(false)
    const future = accumulate(planUsage(model, { unit: 0, horizon: 365, seed: 1 }), gappy.counts)
    expect(future.cumulative.every(Number.isFinite)).toBe(true)
  })
  test('wrong shapes and negative counts are refused', () => {
    expect(() => fitUsage({ units: 2, days: 3, firstDay: 0, counts: new Float64Array(5) })).toThrow(
      /needs 6 counts, got 5/,
    )
    expect(() => fitUsage({ units: 1, days: 2, firstDay: 0, counts: Float64Array.of(1, -1) })).toThrow(
      /negative/,
    )
    const model = fitUsage(bursty(1))!
    expect(() => planUsage(model, { unit: 99, horizon: 10, seed: 1 })).toThrow(/no unit 99/)
    expect(() => planUsage(model, { unit: 0, horizon: 0, seed: 1 })).toThrow(/at least one day/)
  })
  test('a southern season, over the turn of the year, is one season', () => {
    const world = bursty(7)
    const south = { ...world, firstDay: world.firstDay + 182 }
    const model = fitUsage(south)!
    expect(model.cut).toBeGreaterThan(120)
    expect(model.cut).toBeLessThan(270)
  })
  test('day of year', () => {
    expect(dayOfYear(Date.UTC(2024, 0, 1) / 86_400_000)).toBe(0)
    expect(dayOfYear(Date.UTC(2024, 11, 31) / 86_400_000)).toBe(365)
  })
})

test('50 units, 200 limits each on four counters, within 2 s of processor time', () => {
  const world = bursty(1, { ...USUAL, units: 50 })
  const run = (): number => {
    const started = process.cpuUsage()
    const model = fitUsage(world, { asOf: world.firstDay + world.days - 150 })!
    for (let u = 0; u < 50; u++) {
      const plan = planUsage(model, { unit: u, horizon: 400, seed: u })
      const counters = [0, 1, 2, 3].map(() => accumulate(plan, world.counts))
      for (let l = 0; l < 200; l++) passageDays(counters[l % 4]!, l * 2)
    }
    const { user, system } = process.cpuUsage(started)
    return (user + system) / 1000
  }
  const best = Math.min(run(), run())
  console.log(`10,000 limits of 50 units: ${best.toFixed(0)} ms of processor time`)
  expect(best).toBeLessThan(2000)
})
