/** Use of a unit in a season, and what the year's shape expects of the days that it was watched. */
export interface UnitSeason {
  unit: number
  season: number
  use: number
  expected: number
}

/** Variance of the mean level and of its components. */
export interface LevelVariance {
  mean: number
  season: number
  unit: number
  both: number
}

/** Stretches of a few weeks inside the unit-seasons; `owner` is the index of theirs. */
export interface Stretches {
  use: number[]
  expected: number[]
  owner: number[]
}

/** Prior guesses of the variances, and how many observations each is worth. */
const PRIOR = { mean: 0.2, season: 0.1, unit: 0.03, both: 0.06, weight: 3 }

/** Variance of a stretch's use over its expectation at its season's own level; 4 where too little is on record to tell. */
export function dispersionOf(unitSeasons: readonly UnitSeason[], stretches: Stretches): number {
  let squares = 0
  let fitted = 0
  let used = 0
  const owners = new Set<number>()
  stretches.use.forEach((use, i) => {
    const owner = stretches.owner[i]!
    const own = unitSeasons[owner]!
    if (!(own.use > 0) || !(stretches.expected[i]! > 0)) return
    const e = (own.use / own.expected) * stretches.expected[i]!
    squares += (use - e) ** 2
    fitted += e
    used += 1
    owners.add(owner)
  })
  const df = used - owners.size
  if (df < 1 || fitted === 0) return 4
  return Math.max(1, ((squares / fitted) * used) / df)
}

/**
 * Variance components by moments of (level − 1), held towards the prior guesses. There is one record for a unit and season, so
 * that two of one season are of two units.
 */
export function componentsOf(records: readonly UnitSeason[], dispersion: number): LevelVariance {
  const d = records.map((s) => s.use / s.expected - 1)
  const season = pairsWithin(
    records.map((s) => s.season),
    d,
  )
  const unit = pairsWithin(
    records.map((s) => s.unit),
    d,
  )
  let own = 0
  records.forEach((a, i) => {
    own += d[i]! ** 2 - dispersion / a.expected
  })
  const seasons = season.groups
  const units = unit.groups
  const lean = (found: number, df: number, guess: number): number => {
    const n = Math.max(0, df)
    return Math.max(0.1 * guess, (n * found + PRIOR.weight * guess) / (n + PRIOR.weight))
  }
  // levels are measured against their own mean, which hides 1 part in `seasons` of the season's variance
  const a = lean(
    season.pairs > 0 ? (season.products / season.pairs) * (seasons / Math.max(1, seasons - 1)) : 0,
    season.pairs > 0 ? seasons - 1 : 0,
    PRIOR.season,
  )
  const b = lean(
    unit.pairs > 0 ? unit.products / unit.pairs + a / Math.max(1, seasons) : 0,
    unit.pairs > 0 ? units - 1 : 0,
    PRIOR.unit,
  )
  const rest = records.length > 0 ? own / records.length : 0
  const c = lean(
    Math.max(0, rest - a - b),
    seasons > 1 ? records.length - seasons - units + 1 : 0,
    PRIOR.both,
  )
  return { mean: PRIOR.mean, season: a, unit: b, both: c }
}

/** Sum of the products of all pairs that share a key, from (Σx)² = Σx² + 2 Σ of pairs; and how many pairs and keys there are. */
function pairsWithin(
  keys: readonly number[],
  values: readonly number[],
): { products: number; pairs: number; groups: number } {
  const groups = new Map<number, { count: number; sum: number; squares: number }>()
  keys.forEach((key, i) => {
    const group = groups.get(key) ?? { count: 0, sum: 0, squares: 0 }
    group.count += 1
    group.sum += values[i]!
    group.squares += values[i]! ** 2
    groups.set(key, group)
  })
  let products = 0
  let pairs = 0
  for (const { count, sum, squares } of groups.values()) {
    products += (sum * sum - squares) / 2
    pairs += (count * (count - 1)) / 2
  }
  return { products, pairs, groups: groups.size }
}
