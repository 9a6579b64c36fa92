import { gammaQuantile } from './distributions.ts'
import { type Estimate, zOf } from './proportions.ts'

/** Intervals of a Poisson count and of the rate count / exposure. */

function check(count: number, exposure: number): void {
  if (!(Number.isFinite(count) && count >= 0 && Number.isFinite(exposure) && exposure >= 0)) {
    throw new RangeError(`a count and its exposure must not be negative, got ${count} over ${exposure}`)
  }
}

/** Exact interval of a Poisson mean (Garwood, Biometrika 28, 1936). `count` ≥ 0. */
export function poissonExact(count: number, confidence = 0.95): Estimate {
  check(count, 1)
  zOf(confidence)
  const tail = (1 - confidence) / 2
  return {
    estimate: count,
    low: count === 0 ? 0 : gammaQuantile(tail, count),
    high: gammaQuantile(1 - tail, count + 1),
  }
}

/** Exact interval of a rate per unit of exposure; null if there was no exposure. */
export function poissonRate(count: number, exposure: number, confidence = 0.95): Estimate | null {
  check(count, exposure)
  if (exposure === 0) return null
  const { low, high } = poissonExact(count, confidence)
  return { estimate: count / exposure, low: low / exposure, high: high / exposure }
}

/** Score interval of a rate (Rao); null if there was no exposure. */
export function poissonRateScore(count: number, exposure: number, confidence = 0.95): Estimate | null {
  check(count, exposure)
  if (exposure === 0) return null
  const z = zOf(confidence)
  const center = count + (z * z) / 2
  const half = z * Math.sqrt(count + (z * z) / 4)
  return {
    estimate: count / exposure,
    low: Math.max(0, center - half) / exposure,
    high: (center + half) / exposure,
  }
}

/** Byar's approximation with its mid-count form (Rothman and Boice 1979); null if there was no exposure. */
export function poissonRateByar(count: number, exposure: number, confidence = 0.95): Estimate | null {
  check(count, exposure)
  if (exposure === 0) return null
  const z = zOf(confidence)
  const c = count + 0.5
  const end = (sign: number): number =>
    Math.max(0, c * (1 - 1 / (9 * c) + (sign * z) / (3 * Math.sqrt(c))) ** 3)
  return { estimate: count / exposure, low: end(-1) / exposure, high: end(1) / exposure }
}
