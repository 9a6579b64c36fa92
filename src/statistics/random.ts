/**
 * A small seeded generator: the same seed gives the same numbers on every machine.
 *
 * Bits come from sfc32 (C. Doty-Humphrey's Small Fast Counting generator, 128 bits of state, part of PractRand), seeded through
 * splitmix32 and run twelve times before use. Uniforms have 53 bits.
 */
export interface Random {
  /** Uniform in [0, 1). */
  uniform(): number
  /** Whole number in 0..n−1, n ≥ 1. */
  below(n: number): number
  /** Normal with mean 0 and sd 1 (polar method of Marsaglia and Bray). */
  normal(): number
  /** Exponential with mean 1. */
  exponential(): number
  /** Gamma with shape > 0 and scale 1 (Marsaglia and Tsang 2000). */
  gamma(shape: number): number
  /** Poisson with mean ≥ 0. */
  poisson(mean: number): number
  /** Negative binomial with mean ≥ 0 and size > 0 (variance mean + mean²/size). */
  negativeBinomial(mean: number, size: number): number
  /** Trials until and including the first success, 0 < p ≤ 1. */
  geometric(p: number): number
}

function hash(seed: number | string): number {
  const text = String(seed)
  let h = 0x811c9dc5
  for (let i = 0; i < text.length; i++) h = Math.imul(h ^ text.charCodeAt(i), 0x01000193)
  return h >>> 0
}

/** A generator from a number or a text. */
export function random(seed: number | string): Random {
  let s = hash(seed)
  const next = (): number => {
    s = (s + 0x9e3779b9) | 0
    let z = s
    z = Math.imul(z ^ (z >>> 16), 0x21f0aaad)
    z = Math.imul(z ^ (z >>> 15), 0x735a2d97)
    return (z ^ (z >>> 15)) | 0
  }
  let a = next()
  let b = next()
  let c = next()
  let counter = 1
  const bits = (): number => {
    const t = (((a + b) | 0) + counter) | 0
    counter = (counter + 1) | 0
    a = b ^ (b >>> 9)
    b = (c + (c << 3)) | 0
    c = (c << 21) | (c >>> 11)
    c = (c + t) | 0
    return t >>> 0
  }
  for (let i = 0; i < 12; i++) bits()
  const uniform = (): number => ((bits() >>> 5) * 67108864 + (bits() >>> 6)) / 9007199254740992
  let spare = Number.NaN

  const normal = (): number => {
    if (!Number.isNaN(spare)) {
      const kept = spare
      spare = Number.NaN
      return kept
    }
    for (;;) {
      const u = 2 * uniform() - 1
      const v = 2 * uniform() - 1
      const q = u * u + v * v
      if (q > 0 && q < 1) {
        const f = Math.sqrt((-2 * Math.log(q)) / q)
        spare = v * f
        return u * f
      }
    }
  }
  const exponential = (): number => -Math.log(1 - uniform())
  const gamma = (shape: number): number => {
    if (shape < 1) return gamma(shape + 1) * (1 - uniform()) ** (1 / shape)
    const d = shape - 1 / 3
    const k = 1 / Math.sqrt(9 * d)
    for (;;) {
      const x = normal()
      const v = (1 + k * x) ** 3
      if (v > 0 && Math.log(1 - uniform()) < 0.5 * x * x + d - d * v + d * Math.log(v)) return d * v
    }
  }
  /** Large means are split by the order statistics of a gamma (Ahrens and Dieter 1974), small ones multiplied out. */
  const poisson = (mean: number): number => {
    if (!(mean > 0)) return 0
    if (mean > 30) {
      const m = Math.floor((7 * mean) / 8)
      const x = gamma(m)
      return x > mean ? binomial(m - 1, mean / x) : m + poisson(mean - x)
    }
    const limit = Math.exp(-mean)
    let count = 0
    for (let product = 1 - uniform(); product > limit; product *= 1 - uniform()) count++
    return count
  }
  const binomial = (n: number, p: number): number => {
    let count = 0
    for (let i = 0; i < n; i++) if (uniform() < p) count++
    return count
  }
  return {
    uniform,
    below: (n) => Math.floor(uniform() * n),
    normal,
    exponential,
    gamma,
    poisson,
    negativeBinomial: (mean, size) => (mean > 0 ? poisson((gamma(size) * mean) / size) : 0),
    geometric: (p) => (p >= 1 ? 1 : 1 + Math.floor(Math.log(1 - uniform()) / Math.log1p(-p))),
  }
}
