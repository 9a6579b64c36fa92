import type { HoursRounding } from './words.ts'

export interface HoursRule {
  /** Smallest billed part of an hour. */
  step: 0.1 | 0.01
  rounding: HoursRounding
  /** Each flight rounded by itself, or the day's minutes summed first. */
  per: 'flight' | 'day'
}

/**
 * Whole minutes to billed hours under a rounding rule, in integers throughout (a tenth of an hour is 6 minutes, and
 * 0.05 is not exact in binary). Half-up to tenths is the usual logbook table: 0 to 2 min 0.0, 3 to 8 min 0.1, and so on.
 */
export function minutesToHours(
  minutes: number,
  step: 0.1 | 0.01 = 0.1,
  rounding: HoursRounding = 'half-up',
): number {
  if (!Number.isInteger(minutes)) throw new Error(`${minutes} is not a whole number of minutes`)
  return units(minutes, step, rounding) / (step === 0.1 ? 10 : 100)
}

function units(minutes: number, step: 0.1 | 0.01, rounding: HoursRounding): number {
  const scaled = minutes * (step === 0.1 ? 10 : 100)
  if (rounding === 'up') return Math.ceil(scaled / 60)
  if (rounding === 'down') return Math.floor(scaled / 60)
  return Math.floor((2 * scaled + 60) / 120)
}

/** Billed hours of one day's flights, given in whole minutes. */
export function billedHours(flightMinutes: readonly number[], rule: HoursRule): number {
  const groups =
    rule.per === 'day' ? [flightMinutes.reduce((total, minutes) => total + minutes, 0)] : flightMinutes
  const total = groups.reduce((sum, minutes) => sum + units(minutes, rule.step, rule.rounding), 0)
  return total / (rule.step === 0.1 ? 10 : 100)
}
