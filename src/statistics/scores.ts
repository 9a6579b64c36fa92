import { normalCdf, normalDensity } from './distributions.ts'
import { sortedCopy } from './quantiles.ts'

/** Scores of forecasts; lower is better. */

/** CRPS of a normal forecast at outcome y (Gneiting and Raftery, JASA 102, 2007); |y − mean| for sd = 0. */
export function crpsNormal(y: number, mean: number, sd: number): number {
  if (!(sd >= 0)) throw new RangeError(`a standard deviation must not be negative, got ${sd}`)
  if (sd === 0) return Math.abs(y - mean)
  const z = (y - mean) / sd
  return sd * (z * (2 * normalCdf(z) - 1) + 2 * normalDensity(z) - 1 / Math.sqrt(Math.PI))
}

/**
 * CRPS of an ensemble, E|X − y| − ½ E|X − X′|; `fair` divides the spread by m(m − 1) instead of m², which does not punish a
 * small ensemble (Ferro 2014). Null for no members, or one member if fair.
 */
export function crpsEnsemble(
  y: number,
  members: ArrayLike<number>,
  { fair = false }: { fair?: boolean } = {},
): number | null {
  const m = members.length
  if (m === 0 || (fair && m === 1)) return null
  const sorted = sortedCopy(members)
  let error = 0
  let spread = 0
  for (let i = 0; i < m; i++) {
    error += Math.abs(sorted[i]! - y)
    spread += sorted[i]! * (2 * i - m + 1)
  }
  return error / m - spread / (fair ? m * (m - 1) : m * m)
}

/** Pinball (quantile) loss of forecast quantile q at level 0 < level < 1 for outcome y. */
export function pinballLoss(y: number, q: number, level: number): number {
  if (!(level > 0 && level < 1))
    throw new RangeError(`a quantile level must lie between 0 and 1, got ${level}`)
  return y >= q ? level * (y - q) : (1 - level) * (q - y)
}

/**
 * Credit of a forecast interval whose outcome may be censored: 1 inside, 0 outside. An outcome that had not come by `end` (actual
 * null) gets the chance that the forecast itself gives to its lying inside, given that it lies beyond the end, so that the mean
 * credit of a calibrated forecast is its nominal share however many outcomes are censored.
 *
 * `levels`: the nominal levels of low and high. `shareByEnd`: forecast chance of an outcome by `end`, 0..1. Ends that lie beyond
 * all forecasting are null.
 */
export function intervalCredit(
  actual: number | null,
  {
    low,
    high,
    levels = [0.1, 0.9],
    shareByEnd,
  }: {
    low: number | null
    high: number | null
    levels?: readonly [number, number]
    shareByEnd: number
  },
): number {
  if (actual !== null) return low !== null && actual >= low && (high === null || actual <= high) ? 1 : 0
  if (shareByEnd >= 1) return 0
  return Math.max(0, levels[1] - Math.max(levels[0], shareByEnd)) / (1 - shareByEnd)
}
