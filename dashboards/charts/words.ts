/** `a, b and c`. */
export function listed(words: readonly string[]): string {
  if (words.length < 2) return words.join('')
  return `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`
}

export const plural = (count: number, one: string, many = `${one}s`): string =>
  `${count.toLocaleString('en-US')} ${count === 1 ? one : many}`

export const percentOf = (part: number, whole: number): string =>
  whole > 0 ? `${Math.round((100 * part) / whole)} %` : '—'

/** The ordinary median; null of nothing. */
export function median(values: readonly number[]): number | null {
  return quantile(values, 0.5)
}

/** Type 7 percentile (Hyndman and Fan, Sample Quantiles in Statistical Packages, The American Statistician, 1996). */
export function quantile(values: readonly number[], share: number): number | null {
  if (!values.length) return null
  const sorted = [...values].sort((a, b) => a - b)
  const at = (sorted.length - 1) * share
  const low = Math.floor(at)
  const below = sorted[low]!
  const above = sorted[low + 1] ?? below
  return below + (at - low) * (above - below)
}

/** A number for an axis: `950`, `1.5k`, `20k`, `3M`. */
export function short(value: number): string {
  const size = Math.abs(value)
  const [unit, letter] = size >= 1e6 ? [1e6, 'M'] : size >= 1e3 ? [1e3, 'k'] : [1, '']
  return `${Number((value / unit).toPrecision(3))}${letter}`.replace('-', '−')
}

/** From nothing to the largest of them; to one when all are nothing, so that a scale always has a length. */
export function fromZero(values: readonly number[]): [number, number] {
  const most = values.reduce((a, value) => Math.max(a, value), 0)
  return [0, most > 0 ? most : 1]
}
