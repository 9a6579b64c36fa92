import { dayOfYear, YEAR } from './calendar.ts'
import {
  type Donors,
  donorLevels,
  donorRanges,
  donorsOf,
  gapsOf,
  openSpells,
  statesOf,
} from './usage-donors.ts'
import type { UsageHistory } from './usage-history.ts'
import { type LevelModel, levelsOf } from './usage-level.ts'

/**
 * What is known of the daily use of several like units, ready to be continued into the future.
 *
 * Use comes in bursts inside a yearly season. The model keeps four things apart:
 * 1. the shape of the year: mean use per unit and day by day of year, smoothed over the calendar;
 * 2. the level of each unit in each season against that shape, with its uncertainty (see usage-level.ts);
 * 3. the state of a unit on a day (in a burst, how long, or idle, how long);
 * 4. for every state and day of year, the past days that may stand for it ("donors").
 * A future path is a chain of stretches of real days from donors, each picked in the state that the path is in (a state-matched
 * moving-block bootstrap), so bursts, their sizes and the gaps between them are those of the records and not of a formula.
 */
export interface UsageModel extends Donors {
  history: UsageHistory
  /** First day that is not known; the forecast starts here. */
  asOf: number
  /** Mean use per unit and day, by day of year (0..365). */
  shape: Float64Array
  /** Day of year in the middle of the idle part, where one season ends and the next begins. */
  cut: number
  /** First and last day after `cut` between which 99 % of the use of a year falls. */
  seasonStart: number
  seasonEnd: number
  seasons: number
  level: LevelModel
  /** State at the start of each day, units × (days + 1) row-major. */
  states: Uint8Array
  /** Days at the end of each unit's record that stand for no day to come. */
  open: Int32Array
  dayOfYear: Int16Array
  /** Posterior level of the unit-season that each past day belongs to, as the history's counts lie. */
  donorLevel: Float32Array
  /** 1 for a unit that was not watched on some day after its first. */
  hasGaps: Uint8Array
}

/**
 * Fits the model to the columns before `asOf` (default: all). Null if nothing was used or watched at all, since there is then nothing
 * to forecast from. Throws RangeError for a matrix of the wrong size or a negative count.
 */
export function fitUsage(
  history: UsageHistory,
  { asOf = history.firstDay + history.days } = {},
): UsageModel | null {
  const { units, days, firstDay, counts } = history
  if (counts.length !== units * days) {
    throw new RangeError(
      `usage of ${units} units on ${days} days needs ${units * days} counts, got ${counts.length}`,
    )
  }
  const known = Math.max(0, Math.min(days, asOf - firstDay))
  const calendar = Int16Array.from({ length: known }, (_, d) => dayOfYear(firstDay + d))
  const shape = yearShape(history, known, calendar)
  if (shape === null) return null
  const { cut, seasonStart, seasonEnd } = seasonWindow(shape)
  const level = levelsOf(history, known, calendar, shape, cut)
  if (level === null) return null
  const states = statesOf(history, known)
  const open = openSpells(history, known)
  const donors = donorsOf(history, known, calendar, states, open)
  const [donorLow, donorHigh] = donorRanges(donors, calendar, days)
  return {
    history,
    asOf: firstDay + known,
    shape,
    cut,
    seasonStart,
    seasonEnd,
    seasons: new Set(level.unitSeasons.map((u) => u.season)).size,
    level,
    states,
    open,
    donors,
    donorLow,
    donorHigh,
    dayOfYear: calendar,
    donorLevel: donorLevels(history, known, cut, level),
    hasGaps: gapsOf(history, known),
  }
}

/** Mean use by day of year, smoothed by a triangle of ±21 days; null without any use. */
function yearShape(history: UsageHistory, known: number, calendar: Int16Array): Float64Array | null {
  const sums = new Float64Array(YEAR)
  const watched = new Float64Array(YEAR)
  let total = 0
  for (let u = 0; u < history.units; u++) {
    for (let d = 0; d < known; d++) {
      const v = history.counts[u * history.days + d]!
      if (Number.isNaN(v)) continue
      if (!(v >= 0)) throw new RangeError(`use of unit ${u + 1} on day ${d + 1} is negative`)
      sums[calendar[d]!]! += v
      watched[calendar[d]!]! += 1
      total += v
    }
  }
  if (total === 0) return null
  const width = 22
  const shape = new Float64Array(YEAR)
  for (let i = 0; i < YEAR; i++) {
    let use = 0
    let seen = 0
    for (let k = 1 - width; k < width; k++) {
      const j = (i + k + YEAR) % YEAR
      use += (width - Math.abs(k)) * sums[j]!
      seen += (width - Math.abs(k)) * watched[j]!
    }
    shape[i] = seen > 0 ? use / seen : 0
  }
  return shape
}

/** The idlest 60 days give the cut; the season is what lies between the ½ % and 99½ % points of a year's use counted from there. */
function seasonWindow(shape: Float64Array): { cut: number; seasonStart: number; seasonEnd: number } {
  let cut = 0
  let least = Number.POSITIVE_INFINITY
  for (let i = 0; i < YEAR; i++) {
    let sum = 0
    for (let k = -45; k <= 45; k++) sum += shape[(i + k + YEAR) % YEAR]! * (46 - Math.abs(k))
    if (sum < least) {
      least = sum
      cut = i
    }
  }
  const total = shape.reduce((sum, v) => sum + v, 0)
  let reached = 0
  let seasonStart = 0
  let seasonEnd = YEAR - 1
  let isStarted = false
  for (let k = 0; k < YEAR; k++) {
    reached += shape[(cut + k) % YEAR]!
    if (!isStarted && reached >= 0.005 * total) {
      seasonStart = k
      isStarted = true
    }
    if (reached <= 0.995 * total) seasonEnd = k
  }
  return { cut, seasonStart, seasonEnd }
}
