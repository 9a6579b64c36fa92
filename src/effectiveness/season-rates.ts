import { meanDifference, newcombeDifference, stableSum, studentQuantile } from '../statistics/index.ts'

/** Values of one measure in one season: y by x, where x is 1 except for rates per hour, whose pieces are days. */
export interface Pieces {
  y: Float64Array
  x: Float64Array
}

export interface Compared {
  season_value: number | null
  season_n: number
  against_value: number | null
  against_n: number
  difference: number | null
  low: number | null
  high: number | null
}

export const methods = {
  share: 'Newcombe',
  mean: 'Welch',
  ratio: 'ratio of daily sums',
} as const
export type Method = keyof typeof methods

export const measures: Readonly<Record<string, { unit: string; method: Method }>> = {
  'interaction rate': { unit: 'share of drops known to have met fire or not', method: 'share' },
  'success rate': { unit: 'share of drops known to be effective or not', method: 'share' },
  'overflow rate': { unit: 'share of loads', method: 'share' },
  'setting error': { unit: '% of the command', method: 'mean' },
  'fill error': { unit: '% of the target', method: 'mean' },
  turnaround: { unit: 'min', method: 'mean' },
  'gallons per drop': { unit: 'US gal', method: 'mean' },
  'airborne hours per day': { unit: 'h per aircraft and day flown', method: 'mean' },
  'gallons per mission hour': { unit: 'US gal per h', method: 'ratio' },
  'drops per mission hour': { unit: 'drops per h', method: 'ratio' },
}

/** One measure of two seasons with the 95 % interval of their difference; nulls where one has nothing. */
export function compareSeasons(method: Method, now: Pieces, before: Pieces): Compared {
  const a = ratio(now)
  const b = ratio(before)
  const base = {
    season_value: a?.value ?? null,
    season_n: now.y.length,
    against_value: b?.value ?? null,
    against_n: before.y.length,
  }
  if (a === null || b === null) return { ...base, difference: null, low: null, high: null }
  const difference = a.value - b.value
  if (method === 'share') {
    const found = newcombeDifference(stableSum(now.y), now.y.length, stableSum(before.y), before.y.length)
    return { ...base, difference, low: found?.low ?? null, high: found?.high ?? null }
  }
  if (method === 'mean') {
    const found = meanDifference(now.y, before.y)
    return { ...base, difference, low: found?.low ?? null, high: found?.high ?? null }
  }
  if (a.variance === null || b.variance === null) return { ...base, difference, low: null, high: null }
  const df = Math.min(now.y.length, before.y.length) - 1
  const half = studentQuantile(0.975, df) * Math.sqrt(a.variance + b.variance)
  return { ...base, difference, low: difference - half, high: difference + half }
}

/** Sum of y by sum of x, with the variance of a ratio of sums over independent days (Cochran, Sampling Techniques, 1977, section 6.4). */
function ratio({ y, x }: Pieces): { value: number; variance: number | null } | null {
  const n = y.length
  const whole = stableSum(x)
  if (n === 0 || !(whole > 0)) return null
  const value = stableSum(y) / whole
  if (n < 2) return { value, variance: null }
  const squares = stableSum(Float64Array.from(y, (yi, i) => (yi - value * x[i]!) ** 2))
  return { value, variance: (n / (n - 1)) * (squares / whole ** 2) }
}
