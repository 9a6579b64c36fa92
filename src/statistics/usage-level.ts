import { seasonOf } from './calendar.ts'
import {
  componentsOf,
  dispersionOf,
  type LevelVariance,
  type Stretches,
  type UnitSeason,
} from './usage-components.ts'
import type { UsageHistory } from './usage-history.ts'
import { type Prediction, predictorOf } from './usage-predictor.ts'

/**
 * Level of each unit in each season: use over what the year's shape expects.
 *
 * Levels are split into components for the season (shared by all units), the unit (shared by all its seasons) and both, whose
 * variances come from the moments of the records, held towards prior guesses while seasons are few; predictions are the best linear
 * ones given them (Henderson's BLUP), so a unit with little history leans on the others, and the current season's use so far counts
 * for as much as its burstiness allows.
 */
export interface LevelModel {
  unitSeasons: UnitSeason[]
  /** Posterior mean level of each of them. */
  posterior: Float64Array
  /** Brings the mean of use ÷ posterior level back to the shape. */
  balance: number
  /** Variance of a stretch's use over its expectation: 1 for Poisson, more for bursts. */
  dispersion: number
  variance: LevelVariance
  /** Mean and variance of the level of a unit (null: one never seen) in a season. */
  predict(unit: number | null, season: number): Prediction
}

const STRETCH_DAYS = 28
/**
 * A level drifts inside its season (weather turns), so the use so far tells less about the rest than counting noise alone would
 * have it, and the components found from few seasons are themselves unsure. The two factors brought the share of outcomes inside
 * 10–90 % forecasts from 72–78 % to 77–81 % on six kinds of invented seasons (240 years in all), at horizons of 14, 30 and 60 days.
 */
const DRIFT_OF_LEVEL = 2
const UNSURE_COMPONENTS = 1.5

/** Time: units × days, and the cube of the number of seasons. */
export function levelsOf(
  history: UsageHistory,
  known: number,
  calendar: Int16Array,
  shape: Float64Array,
  cut: number,
): LevelModel | null {
  const { unitSeasons, stretches } = readSeasons(history, known, calendar, shape, cut)
  const kept = unitSeasons.filter((s) => s.expected > 0)
  if (kept.length === 0) return null
  const dispersion = dispersionOf(unitSeasons, stretches)
  const full = kept.reduce((most, s) => Math.max(most, s.expected), 0)
  const variance = componentsOf(
    kept.filter((s) => s.expected > 0.3 * full),
    dispersion,
  )
  const predictor = predictorOf(
    kept.map(({ unit, season, use, expected }) => ({
      unit,
      season,
      level: use / expected,
      noise: (DRIFT_OF_LEVEL * dispersion) / expected,
    })),
    variance,
  )
  const predict = (unit: number | null, season: number): Prediction => {
    const found = predictor(unit, season)
    const mean = Math.max(0.1, found.mean)
    // variances were found about level 1 and grow with the level
    return {
      mean,
      variance: UNSURE_COMPONENTS * Math.max(1e-4, found.variance) * Math.max(0.3, mean),
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

/** Use and expectation of each unit in each season that it was watched in, and of the stretches of four weeks in it. */
function readSeasons(
  { units, days, firstDay, counts }: UsageHistory,
  known: number,
  calendar: Int16Array,
  shape: Float64Array,
  cut: number,
): { unitSeasons: UnitSeason[]; stretches: Stretches } {
  const unitSeasons: UnitSeason[] = []
  const stretches: Stretches = { use: [], expected: [], owner: [] }
  const seasons = Int32Array.from({ length: known }, (_, d) => seasonOf(firstDay + d, cut))
  const expectedOf = Float64Array.from({ length: known }, (_, d) => shape[calendar[d]!]!)
  for (let u = 0; u < units; u++) {
    let own: UnitSeason | null = null
    let use = 0
    let expected = 0
    let length = 0
    const close = (): void => {
      if (length === 0) return
      stretches.use.push(use)
      stretches.expected.push(expected)
      stretches.owner.push(unitSeasons.length - 1)
      use = 0
      expected = 0
      length = 0
    }
    for (let d = 0; d < known; d++) {
      const v = counts[u * days + d]!
      if (Number.isNaN(v)) continue
      if (own === null || own.season !== seasons[d]) {
        close()
        own = { unit: u, season: seasons[d]!, use: 0, expected: 0 }
        unitSeasons.push(own)
      }
      if (length >= STRETCH_DAYS) close()
      const e = expectedOf[d]!
      own.use += v
      own.expected += e
      use += v
      expected += e
      length += 1
    }
    close()
  }
  return { unitSeasons, stretches }
}
