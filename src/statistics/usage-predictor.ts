import { invertPositive } from './cholesky.ts'
import type { LevelVariance } from './usage-components.ts'

/** The level that a unit showed in a season, and the variance of its noise; one for a unit and season. */
export interface SeenLevel {
  unit: number
  season: number
  level: number
  noise: number
}

export interface Prediction {
  mean: number
  variance: number
}

/** What one unit alone says: the sums over its records of 1 ÷ variance (all, and by season) and of deviation ÷ variance. */
interface Unit {
  /** 1 ÷ posterior variance of the unit's component, were all others known. */
  precision: number
  weights: Float64Array
  pull: number
  records: Map<number, { deviation: number; variance: number }>
}

/**
 * The best linear prediction of the level 1 + mean + season + unit + both of any unit (null: one never seen) in any season, from
 * noisy levels of other seasons and units, when the components are independent with the given variances.
 *
 * Henderson's mixed-model equations (C. R. Henderson, "Best linear unbiased estimation and prediction under a selection model",
 * Biometrics 31, 1975), with the equations of the units absorbed: what is solved is as large as the number of seasons, however
 * many units there are.
 */
export function predictorOf(
  seen: readonly SeenLevel[],
  variance: LevelVariance,
): (unit: number | null, season: number) => Prediction {
  const seasonAt = new Map<number, number>()
  for (const { season } of seen) if (!seasonAt.has(season)) seasonAt.set(season, 1 + seasonAt.size)
  const size = 1 + seasonAt.size
  const units = new Map<number, Unit>()
  const matrix = new Float64Array(size * size)
  const right = new Float64Array(size)
  for (let i = 0; i < size; i++) matrix[i * size + i] = 1 / (i === 0 ? variance.mean : variance.season)
  for (const one of seen) {
    const own = variance.both + one.noise
    const weight = 1 / own
    const deviation = one.level - 1
    const at = seasonAt.get(one.season)!
    let unit = units.get(one.unit)
    if (!unit) {
      unit = {
        precision: 1 / variance.unit,
        weights: new Float64Array(size),
        pull: 0,
        records: new Map(),
      }
      units.set(one.unit, unit)
    }
    unit.precision += weight
    unit.pull += weight * deviation
    unit.records.set(one.season, { deviation, variance: own })
    for (const i of [0, at]) {
      unit.weights[i]! += weight
      right[i]! += weight * deviation
      for (const j of [0, at]) matrix[i * size + j]! += weight
    }
  }
  for (const { precision, weights, pull } of units.values()) {
    for (let i = 0; i < size; i++) {
      const share = weights[i]! / precision
      if (share === 0) continue
      right[i]! -= share * pull
      for (let j = 0; j < size; j++) matrix[i * size + j]! -= share * weights[j]!
    }
  }
  const inverse = invertPositive(matrix, size)
  const common = new Float64Array(size)
  for (let i = 0; i < size; i++)
    for (let j = 0; j < size; j++) common[i]! += inverse[i * size + j]! * right[j]!

  return (name, season) => {
    const unit = name === null ? undefined : units.get(name)
    const at = seasonAt.get(season)
    // What the common components count for in the sum, once the unit's own is put for what it is given them.
    const link = new Float64Array(size)
    link[0] = 1
    if (at !== undefined) link[at] = 1
    let mean = unit ? unit.pull / unit.precision : 0
    let spread = (at === undefined ? variance.season : 0) + (unit ? 1 / unit.precision : variance.unit)
    if (unit) for (let i = 0; i < size; i++) link[i]! -= unit.weights[i]! / unit.precision
    for (let i = 0; i < size; i++) {
      mean += link[i]! * common[i]!
      for (let j = 0; j < size; j++) spread += link[i]! * inverse[i * size + j]! * link[j]!
    }
    const record = unit?.records.get(season)
    if (!record) return { mean: 1 + mean, variance: spread + variance.both }
    // Of what is left of the record, this share is the component of unit and season, and the rest noise.
    const share = variance.both / record.variance
    return {
      mean: 1 + mean + share * (record.deviation - mean),
      variance: (1 - share) ** 2 * spread + (1 - share) * variance.both,
    }
  }
}
