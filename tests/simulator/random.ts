/** A seeded source of chance. Streams made with `fork` do not disturb one another. */
export interface Random {
  /** In [0, 1). */
  next(): number
  between(low: number, high: number): number
  /** Whole number, both ends included. */
  whole(low: number, high: number): number
  chance(probability: number): boolean
  pick<T>(items: readonly T[]): T
  /** Item drawn in proportion to its weight. */
  weighted<T>(items: readonly (readonly [T, number])[]): T
  normal(mean?: number, deviation?: number): number
  poisson(mean: number): number
  shuffle<T>(items: readonly T[]): T[]
  fork(name: string): Random
}

function hash(text: string, seed: number): number {
  let value = (seed ^ 0x9e3779b9) >>> 0
  for (let index = 0; index < text.length; index++) {
    value = Math.imul(value ^ text.charCodeAt(index), 0x01000193) >>> 0
    value = (value ^ (value >>> 13)) >>> 0
  }
  return value
}

/** The mulberry32 generator: 32 bits of state, plenty for a season. */
export function createRandom(seed: number): Random {
  let state = seed >>> 0
  const next = (): number => {
    state = (state + 0x6d2b79f5) >>> 0
    let value = Math.imul(state ^ (state >>> 15), state | 1)
    value ^= value + Math.imul(value ^ (value >>> 7), value | 61)
    return ((value ^ (value >>> 14)) >>> 0) / 4294967296
  }
  const between = (low: number, high: number): number => low + (high - low) * next()
  const whole = (low: number, high: number): number => Math.floor(between(low, high + 1))
  const normal = (mean = 0, deviation = 1): number =>
    mean + deviation * Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next())
  const random: Random = {
    next,
    between,
    whole,
    chance: (probability) => next() < probability,
    pick: (items) => items[Math.floor(next() * items.length)]!,
    weighted(items) {
      let rest = next() * items.reduce((sum, [, weight]) => sum + weight, 0)
      for (const [item, weight] of items) {
        rest -= weight
        if (rest < 0) return item
      }
      return items.at(-1)![0]
    },
    normal,
    poisson(mean) {
      if (mean > 30) return Math.max(0, Math.round(normal(mean, Math.sqrt(mean))))
      const limit = Math.exp(-mean)
      let count = 0
      for (let product = next(); product > limit; product *= next()) count++
      return count
    },
    shuffle(items) {
      const mixed = [...items]
      for (let index = mixed.length - 1; index > 0; index--) {
        const other = whole(0, index)
        const kept = mixed[index]!
        mixed[index] = mixed[other]!
        mixed[other] = kept
      }
      return mixed
    },
    fork: (name) => createRandom(hash(name, seed)),
  }
  return random
}
