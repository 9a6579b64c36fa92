import { betaQuantile, normalQuantile, Z_95 } from './distributions.ts'

/** Intervals of one proportion and of the difference of two. An interval of nothing (n = 0) is null, never 0 to 1. */

export interface Estimate {
  estimate: number
  low: number
  high: number
}

/** Two-sided normal point of a confidence level; exactly 1.959963984540054 at 0.95. */
export function zOf(confidence: number): number {
  if (!(confidence > 0 && confidence < 1))
    throw new RangeError(`a confidence level must lie between 0 and 1, got ${confidence}`)
  return confidence === 0.95 ? Z_95 : -normalQuantile((1 - confidence) / 2)
}

function check(count: number, of: number): void {
  if (!(Number.isFinite(of) && of >= 0 && count >= 0 && count <= of)) {
    throw new RangeError(`a proportion needs 0 ≤ count ≤ total, got ${count} of ${of}`)
  }
}

const clip = (x: number): number => Math.min(1, Math.max(0, x))

/** Wilson score interval (Wilson 1927; Newcombe 1998, Statistics in Medicine 17:857, method 3), inside [0, 1]. */
export function wilson(count: number, of: number, confidence = 0.95): Estimate | null {
  check(count, of)
  if (of === 0) return null
  const z = zOf(confidence)
  const p = count / of
  const denominator = 1 + (z * z) / of
  const center = (p + (z * z) / (2 * of)) / denominator
  const half = (z / denominator) * Math.sqrt((p * (1 - p)) / of + (z * z) / (4 * of * of))
  return {
    estimate: p,
    low: count === 0 ? 0 : Math.min(p, clip(center - half)),
    high: count === of ? 1 : Math.max(p, clip(center + half)),
  }
}

/** Exact binomial interval (Clopper and Pearson, Biometrika 26, 1934), inside [0, 1]. */
export function clopperPearson(count: number, of: number, confidence = 0.95): Estimate | null {
  check(count, of)
  if (of === 0) return null
  const tail = (1 - confidence) / 2
  zOf(confidence)
  return {
    estimate: count / of,
    low: count === 0 ? 0 : clip(betaQuantile(tail, count, of - count + 1)),
    high: count === of ? 1 : clip(1 - betaQuantile(tail, of - count, count + 1)),
  }
}

/**
 * Difference p1 − p2 by the square-and-add hybrid of two Wilson intervals (Newcombe 1998, Statistics in Medicine 17:873,
 * method 10). Null if either group is empty.
 */
export function newcombeDifference(
  count1: number,
  of1: number,
  count2: number,
  of2: number,
  confidence = 0.95,
): Estimate | null {
  const a = wilson(count1, of1, confidence)
  const b = wilson(count2, of2, confidence)
  if (a === null || b === null) return null
  const d = a.estimate - b.estimate
  return {
    estimate: d,
    low: Math.max(-1, d - Math.hypot(a.estimate - a.low, b.high - b.estimate)),
    high: Math.min(1, d + Math.hypot(a.high - a.estimate, b.estimate - b.low)),
  }
}

/**
 * Difference p1 − p2 with one success and one failure added to each group (Agresti and Caffo, The American Statistician 54,
 * 2000). The estimate is the plain difference. Null if either group is empty.
 */
export function agrestiCaffoDifference(
  count1: number,
  of1: number,
  count2: number,
  of2: number,
  confidence = 0.95,
): Estimate | null {
  check(count1, of1)
  check(count2, of2)
  if (of1 === 0 || of2 === 0) return null
  const p1 = (count1 + 1) / (of1 + 2)
  const p2 = (count2 + 1) / (of2 + 2)
  const half = zOf(confidence) * Math.sqrt((p1 * (1 - p1)) / (of1 + 2) + (p2 * (1 - p2)) / (of2 + 2))
  return {
    estimate: count1 / of1 - count2 / of2,
    low: Math.max(-1, p1 - p2 - half),
    high: Math.min(1, p1 - p2 + half),
  }
}
