import { seasonOf } from './calendar.ts'
import { invertPositive } from './cholesky.ts'
import type { UsageHistory } from './usage-history.ts'

/**
 * Level of each unit in each season: use over what the year's shape expects.
 *
 * Levels are split into components for the season (shared by all units), the unit (shared by all its seasons) and both, whose
 * variances come from the moments of the records, held towards prior guesses while seasons are few; predictions are the best linear
 * ones given them (Henderson's BLUP), so a unit with little history leans on the others, and the current season's use so far counts
 * for as much as its burstiness allows.
 */
export interface UnitSeason {
  unit: number
  season: number
  use: number
  expected: number
}

export interface LevelModel {
  unitSeasons: UnitSeason[]
  /** Posterior mean level of each of them. */
  posterior: Float64Array
  /** Brings the mean of use ÷ posterior level back to the shape. */
  balance: number
  /** Variance of a stretch's use over its expectation: 1 for Poisson, more for bursts. */
  dispersion: number
  variance: { mean: number; season: number; unit: number; both: number }
  /** Mean and variance of the level of a unit (null: one never seen) in a season. */
  predict(unit: number | null, season: number): { mean: number; variance: number }
}

/** Prior guesses of the variances, and how many observations each is worth. */
const PRIOR = { mean: 0.2, season: 0.1, unit: 0.03, both: 0.06, weight: 3 }
const STRETCH_DAYS = 28
/**
 * A level drifts inside its season (weather turns), so the use so far tells less about the rest than counting noise alone would
 * have it, and the components found from few seasons are themselves unsure. The two factors brought the share of outcomes inside
 * 10–90 % forecasts from 72–78 % to 77–81 % on six kinds of invented seasons (240 years in all), at horizons of 14, 30 and 60 days.
 */
const DRIFT_OF_LEVEL = 2
const UNSURE_COMPONENTS = 1.5

export function levelsOf(
  history: UsageHistory,
  known: number,
  calendar: Int16Array,
  shape: Float64Array,
  cut: number,
): LevelModel | null {
  const unitSeasons: UnitSeason[] = []
  const stretches: { use: number; expected: number; owner: number }[] = []
  const seasons = Int32Array.from({ length: known }, (_, d) => seasonOf(history.firstDay + d, cut))
  for (let u = 0; u < history.units; u++) {
    let own: UnitSeason | null = null
    let stretch = { use: 0, expected: 0, owner: -1 }
    let length = 0
    for (let d = 0; d < known; d++) {
      const v = history.counts[u * history.days + d]!
      if (Number.isNaN(v)) continue
      if (own === null || own.season !== seasons[d]) {
        own = { unit: u, season: seasons[d]!, use: 0, expected: 0 }
        unitSeasons.push(own)
        length = STRETCH_DAYS
      }
      if (length >= STRETCH_DAYS) {
        stretch = { use: 0, expected: 0, owner: unitSeasons.length - 1 }
        stretches.push(stretch)
        length = 0
      }
      const e = shape[calendar[d]!]!
      own.use += v
      own.expected += e
      stretch.use += v
      stretch.expected += e
      length += 1
    }
  }
  const kept = unitSeasons.filter((s) => s.expected > 0)
  if (kept.length === 0) return null
  const dispersion = dispersionOf(unitSeasons, stretches)
  const full = Math.max(...kept.map((s) => s.expected))
  const variance = componentsOf(
    kept.filter((s) => s.expected > 0.3 * full),
    dispersion,
  )

  const n = kept.length
  const prior = (a: UnitSeason, b: { unit: number | null; season: number }): number =>
    variance.mean +
    (a.season === b.season ? variance.season : 0) +
    (a.unit === b.unit ? variance.unit : 0) +
    (a.season === b.season && a.unit === b.unit ? variance.both : 0)
  const matrix = new Float64Array(n * n)
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) matrix[i * n + j] = prior(kept[i]!, kept[j]!)
    matrix[i * n + i]! += (DRIFT_OF_LEVEL * dispersion) / kept[i]!.expected
  }
  const inverse = invertPositive(matrix, n)
  const pull = new Float64Array(n)
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) pull[i]! += inverse[i * n + j]! * (kept[j]!.use / kept[j]!.expected - 1)
  }
  const whole = variance.mean + variance.season + variance.unit + variance.both
  const predict = (unit: number | null, season: number): { mean: number; variance: number } => {
    const link = Float64Array.from(kept, (s) => prior(s, { unit, season }))
    let mean = 1
    let explained = 0
    for (let i = 0; i < n; i++) {
      mean += link[i]! * pull[i]!
      let row = 0
      for (let j = 0; j < n; j++) row += inverse[i * n + j]! * link[j]!
      explained += link[i]! * row
    }
    const level = Math.max(0.1, mean)
    // variances were found about level 1 and grow with the level
    return {
      mean: level,
      variance: UNSURE_COMPONENTS * Math.max(1e-4, whole - explained) * Math.max(0.3, level),
    }
  }
  const posterior = Float64Array.from(kept, (s) => predict(s.unit, s.season).mean)
  let expected = 0
  let scaled = 0
  kept.forEach((s, i) => {
    expected += s.expected
    scaled += s.use / posterior[i]!
  })
  return {
    unitSeasons: kept,
    posterior,
    balance: scaled > 0 ? expected / scaled : 1,
    dispersion,
    variance,
    predict,
  }
}

function dispersionOf(
  unitSeasons: UnitSeason[],
  stretches: { use: number; expected: number; owner: number }[],
): number {
  let squares = 0
  let fitted = 0
  let used = 0
  const owners = new Set<number>()
  for (const s of stretches) {
    const own = unitSeasons[s.owner]!
    if (!(own.use > 0) || !(s.expected > 0)) continue
    const e = (own.use / own.expected) * s.expected
    squares += (s.use - e) ** 2
    fitted += e
    used += 1
    owners.add(s.owner)
  }
  const df = used - owners.size
  if (df < 1 || fitted === 0) return 4
  return Math.max(1, ((squares / fitted) * used) / df)
}

/** Variance components by moments of (level − 1), held towards the prior guesses. */
function componentsOf(records: UnitSeason[], dispersion: number): LevelModel['variance'] {
  const d = records.map((s) => s.use / s.expected - 1)
  let season = 0
  let seasonPairs = 0
  let unit = 0
  let unitPairs = 0
  let own = 0
  records.forEach((a, i) => {
    own += d[i]! ** 2 - dispersion / a.expected
    for (let j = i + 1; j < records.length; j++) {
      const b = records[j]!
      if (a.season === b.season) {
        season += d[i]! * d[j]!
        seasonPairs += 1
      } else if (a.unit === b.unit) {
        unit += d[i]! * d[j]!
        unitPairs += 1
      }
    }
  })
  const seasons = new Set(records.map((s) => s.season)).size
  const units = new Set(records.map((s) => s.unit)).size
  const lean = (found: number, df: number, guess: number): number => {
    const n = Math.max(0, df)
    return Math.max(0.1 * guess, (n * found + PRIOR.weight * guess) / (n + PRIOR.weight))
  }
  // levels are measured against their own mean, which hides 1 part in `seasons` of the season's variance
  const a = lean(
    seasonPairs > 0 ? (season / seasonPairs) * (seasons / Math.max(1, seasons - 1)) : 0,
    seasonPairs > 0 ? seasons - 1 : 0,
    PRIOR.season,
  )
  const b = lean(
    unitPairs > 0 ? unit / unitPairs + a / Math.max(1, seasons) : 0,
    unitPairs > 0 ? units - 1 : 0,
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
