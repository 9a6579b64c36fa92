/**
 * Invented seasons of bursty use, made without any code of the forecaster: its own generator of random numbers, its own calendar
 * arithmetic, and mechanisms (spells of dangerous weather, dispatches that last some days, quiet spells) that the forecaster does
 * not know of.
 */
export interface World {
  units: number
  days: number
  firstDay: number
  counts: Float64Array
}

export interface Nature {
  units: number
  seasons: number
  /** Standard deviations of log level by season, unit and unit-season. */
  seasonSpread: number
  unitSpread: number
  bothSpread: number
  /** Weather spells shared by all units: mean days between, mean length; dispatch chance per day inside and outside a spell. */
  spellGap: number
  spellLength: number
  chanceInside: number
  chanceOutside: number
  /** Mean days that a dispatch lasts, mean openings per day of it, and how unequal dispatches are (gamma shape). */
  dispatchDays: number
  openings: number
  unequal: number
}

export const USUAL: Nature = {
  units: 6,
  seasons: 4,
  seasonSpread: 0.3,
  unitSpread: 0.15,
  bothSpread: 0.15,
  spellGap: 11,
  spellLength: 5,
  chanceInside: 0.3,
  chanceOutside: 0.04,
  dispatchDays: 3.5,
  openings: 6,
  unequal: 2,
}

/** A 32-bit mixing generator, unlike the one under test. */
function dice(seed: number): () => number {
  let a = seed >>> 0
  return () => {
    a = (a + 0x6d2b79f5) >>> 0
    let t = a
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
}

export function bursty(seed: number, nature: Nature = USUAL): World {
  const u = dice(seed * 7919 + 13)
  for (let i = 0; i < 20; i++) u()
  const bell = (): number => Math.sqrt(-2 * Math.log(1 - u())) * Math.cos(2 * Math.PI * u())
  const wait = (m: number): number => -m * Math.log(1 - u())
  /** Whole-shape gamma as a sum of waits. */
  const lump = (shape: number): number =>
    Array.from({ length: shape }, () => wait(1)).reduce((s, v) => s + v, 0) / shape
  const count = (m: number): number => {
    let k = 0
    for (let t = wait(1); t < m; t += wait(1)) k++
    return k
  }
  const days = nature.seasons * 365
  const counts = new Float64Array(nature.units * days)
  const unitLevel = Array.from({ length: nature.units }, () => Math.exp(nature.unitSpread * bell()))
  for (let s = 0; s < nature.seasons; s++) {
    const level = Math.exp(nature.seasonSpread * bell())
    const opens = 150 + 10 * bell()
    const closes = 275 + 10 * bell()
    const isSpell = new Uint8Array(366)
    for (let d = 100 + wait(nature.spellGap); d < 330; d += wait(nature.spellGap)) {
      const stop = d + wait(nature.spellLength)
      for (; d < stop && d < 366; d++) isSpell[Math.floor(d)] = 1
    }
    for (let k = 0; k < nature.units; k++) {
      const own = level * unitLevel[k]! * Math.exp(nature.bothSpread * bell())
      let remaining = 0
      let rate = 0
      for (let d = 0; d < 365; d++) {
        const inSeason = d > opens && d < closes
        const peak = inSeason ? Math.sin((Math.PI * (d - opens)) / (closes - opens)) ** 0.7 : 0
        if (remaining <= 0) {
          const chance = peak * own * (isSpell[d] ? nature.chanceInside : nature.chanceOutside)
          if (u() < chance) {
            remaining = 1 + Math.floor(wait(nature.dispatchDays - 0.5))
            rate = nature.openings * lump(nature.unequal)
          }
        }
        if (remaining > 0) {
          counts[k * days + s * 365 + d] = count(rate * (u() < 0.15 ? 0.1 : 1))
          remaining -= 1
        }
      }
    }
  }
  return { units: nature.units, days, firstDay: 18262, counts } // from 1 January 2020
}
