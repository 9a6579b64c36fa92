import { accumulate, passageDays, shareReached, useByDay } from '../../src/statistics/passage.ts'
import { intervalCredit, pinballLoss } from '../../src/statistics/scores.ts'
import { fitUsage } from '../../src/statistics/usage-model.ts'
import { planUsage } from '../../src/statistics/usage-paths.ts'
import type { World } from './bursty-seasons.ts'

export interface Tally {
  forecasts: number
  /** Sum of the credits of the 10–90 % intervals. */
  credit: number
  below: number
  above: number
  censored: number
  /** Pinball loss in days at 10, 50 and 90 %, of the forecast and of a straight line at the recent rate. */
  loss: number
  straightLoss: number
}

export interface ReplayOptions {
  /** Days at the end of the world that are replayed; forecasts are made in its first year. */
  tail: number
  /** Days of that year on which forecasts are made. */
  fromDay?: number
  toDay?: number
  step?: number
  paths?: number
}

/**
 * For every unit and forecast day a limit is set where the forecast puts its 50 % day at the horizon, and the day on which the unit
 * really reached it is compared. A limit not reached by the end of the world is censored there.
 */
export function replay(
  world: World,
  horizons: readonly number[],
  tallies: Map<number, Tally>,
  { tail, fromDay = 165, toDay = 255, step = 15, paths = 200 }: ReplayOptions,
): void {
  for (let d = world.days - tail + fromDay; d <= world.days - tail + toDay; d += step) {
    const model = fitUsage(world, { asOf: world.firstDay + d })!
    const left = world.days - d
    for (let u = 0; u < world.units; u++) {
      const future = accumulate(
        planUsage(model, { unit: u, horizon: left + 200, seed: `${d} ${u}`, paths }),
        world.counts,
      )
      for (const h of horizons.filter((days) => days < left)) {
        const limit = useByDay(future, h - 1, [0.5])[0]!
        if (limit === 0) continue
        const days = passageDays(future, limit).map((day) => (day === null ? null : day - model.asOf))
        const actual = reachedOn(world, u, d, limit)
        const shareByEnd = shareReached(future, limit, left - 1)
        const tally = tallies.get(h) ?? {
          forecasts: 0,
          credit: 0,
          below: 0,
          above: 0,
          censored: 0,
          loss: 0,
          straightLoss: 0,
        }
        tallies.set(h, tally)
        const [low, , high] = days
        tally.forecasts += 1
        tally.credit += intervalCredit(actual, { low: low!, high: high!, shareByEnd })
        tally.below += actual !== null && actual < (low ?? left) ? 1 : 0
        tally.above += (actual ?? left) > (high ?? left) ? 1 : 0
        tally.censored += actual === null ? 1 : 0
        const held = (day: number | null): number => Math.min(day ?? left, left)
        const straight = straightLine(world, u, d, limit)
        for (const [i, level] of [0.1, 0.5, 0.9].entries()) {
          tally.loss += pinballLoss(held(actual), held(days[i]!), level)
          tally.straightLoss += pinballLoss(held(actual), held(straight), level)
        }
      }
    }
  }
}

function reachedOn(world: World, unit: number, d: number, limit: number): number | null {
  let total = 0
  for (let k = 0; d + k < world.days; k++) {
    total += world.counts[unit * world.days + d + k]!
    if (total >= limit) return k
  }
  return null
}

/** Days until the limit at the mean rate of the last 30 days, or of the year so far when those were idle. */
function straightLine(world: World, unit: number, d: number, limit: number): number {
  const own = world.counts.subarray(unit * world.days, unit * world.days + d)
  const rate = (n: number): number => own.slice(-n).reduce((sum, v) => sum + v, 0) / n
  const r = rate(30) || rate(d % 365 || 365)
  return r > 0 ? limit / r : Number.POSITIVE_INFINITY
}
