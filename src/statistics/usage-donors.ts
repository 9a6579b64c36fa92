import { seasonOf, YEAR } from './calendar.ts'
import type { UsageHistory } from './usage-history.ts'
import type { LevelModel } from './usage-level.ts'

/** States of a unit on a day, and the past days ("donors") that may stand for a future day in that state and season. */

/** Number of states. */
export const STATES = 5

/** 0 active yesterday, new burst; 1 active yesterday, burst of more than 3 of 7 days; 2 idle 1–2 days; 3 idle 3–9 days; 4 idle longer. */
export function statesOf(history: UsageHistory, known: number): Uint8Array {
  const { units, days, counts } = history
  const states = new Uint8Array(units * (days + 1))
  for (let u = 0; u < units; u++) {
    let idle = 99
    let recent = 0
    for (let d = 0; d <= known; d++) {
      states[u * (days + 1) + d] = idle === 0 ? (recent > 3 ? 1 : 0) : idle <= 2 ? 2 : idle <= 9 ? 3 : 4
      if (d === known) break
      const isActive = counts[u * days + d]! > 0
      const leaving = d >= 7 && counts[u * days + d - 7]! > 0
      recent += (isActive ? 1 : 0) - (leaving ? 1 : 0)
      idle = isActive ? 0 : idle + 1
    }
  }
  return states
}

/** An idle spell that still runs at the end of the record tells of a season's end only when it is longer than this. */
const OPEN_SPELL_DAYS = 21

/**
 * Days at the end of each unit's record that it stood idle, where they are to stand for no day to come: in a record shorter than
 * a year, and no longer than three weeks. Nobody knows how such a spell ends (often its log has only not come yet), and with
 * no year before to look at its days would be the only ones of their state: a future that follows them would never wake.
 */
export function openSpells(history: UsageHistory, known: number): Int32Array {
  if (known >= YEAR) return new Int32Array(history.units)
  return Int32Array.from({ length: history.units }, (_, unit) => {
    const row = unit * history.days
    let length = 0
    while (length < known && !(history.counts[row + known - 1 - length]! > 0)) length++
    return length <= OPEN_SPELL_DAYS ? length : 0
  })
}

/** Past days that may stand for a day to come, by state, and in each in the order of day of year, day and unit. */
export function donorsOf(
  history: UsageHistory,
  known: number,
  calendar: Int16Array,
  states: Uint8Array,
  open: Int32Array,
): Int32Array[] {
  const { units, days, counts } = history
  const stateAt = (u: number, d: number): number =>
    d >= known - open[u]! || Number.isNaN(counts[u * days + d]!) ? -1 : states[u * (days + 1) + d]!
  // Counted first, unit by unit as they lie in memory, so that each day knows where its donors of a state begin.
  const places = new Int32Array(STATES * (known + 1))
  for (let u = 0; u < units; u++)
    for (let d = 0; d < known; d++) {
      const state = stateAt(u, d)
      if (state >= 0) places[state * (known + 1) + d]! += 1
    }
  const byDay = Int32Array.from({ length: known }, (_, d) => d).sort(
    (a, b) => calendar[a]! - calendar[b]! || a - b,
  )
  const lists = Array.from({ length: STATES }, (_, state) => {
    let total = 0
    for (const d of byDay) {
      const here = places[state * (known + 1) + d]!
      places[state * (known + 1) + d] = total
      total += here
    }
    return new Int32Array(total)
  })
  for (let u = 0; u < units; u++)
    for (let d = 0; d < known; d++) {
      const state = stateAt(u, d)
      if (state >= 0) lists[state]![places[state * (known + 1) + d]!++] = u * days + d
    }
  return lists
}

/** Posterior level of the unit-season that each past day belongs to, as the history's counts lie; 1 where none is known. */
export function donorLevels(
  history: UsageHistory,
  known: number,
  cut: number,
  { unitSeasons, posterior }: LevelModel,
): Float32Array {
  const { units, days, firstDay } = history
  const levels = new Float32Array(units * days).fill(1)
  // Days of one season lie together.
  const spans = new Map<number, { from: number; to: number }>()
  for (let d = 0; d < known; d++) {
    const season = seasonOf(firstDay + d, cut)
    spans.set(season, { from: spans.get(season)?.from ?? d, to: d + 1 })
  }
  unitSeasons.forEach(({ unit, season }, i) => {
    const { from, to } = spans.get(season)!
    levels.fill(posterior[i]!, unit * days + from, unit * days + to)
  })
  return levels
}

/** 1 for a unit that was not watched on some day after its first. */
export function gapsOf({ units, days, counts }: UsageHistory, known: number): Uint8Array {
  return Uint8Array.from({ length: units }, (_, unit) => {
    let at = unit * days
    const stop = at + known
    while (at < stop && Number.isNaN(counts[at]!)) at++
    while (at < stop && !Number.isNaN(counts[at]!)) at++
    return at < stop ? 1 : 0
  })
}

/** For each state and day of year the donors within the narrowest window, ±10 to ±60 days, that holds 40 of them. */
export function donorRanges(
  donors: Int32Array[],
  calendar: Int16Array,
  days: number,
): [Int32Array, Int32Array] {
  const low = new Int32Array(STATES * YEAR)
  const high = new Int32Array(STATES * YEAR)
  for (let s = 0; s < STATES; s++) {
    const list = donors[s]!
    const first = new Int32Array(YEAR + 1)
    for (const at of list) first[calendar[at % days]! + 1]! += 1
    for (let i = 0; i < YEAR; i++) first[i + 1]! += first[i]!
    for (let i = 0; i < YEAR; i++) {
      let w = 10
      const edge = (day: number): number => {
        const turns = Math.floor(day / YEAR)
        return turns * list.length + first[day - turns * YEAR]!
      }
      while (w < 60 && edge(i + w + 1) - edge(i - w) < 40) w += 5
      low[s * YEAR + i] = edge(i - w)
      high[s * YEAR + i] = edge(i + w + 1)
    }
  }
  return [low, high]
}

/** Donor days (indices into counts) sorted by day of year, per state, and the range of them for each state and day of year. */
export interface Donors {
  donors: Int32Array[]
  donorLow: Int32Array
  donorHigh: Int32Array
}

/** A donor day for a state and day of year; other states stand in when this one has none near that day. */
export function pickDonor(model: Donors, state: number, day: number, u: number): number {
  for (let k = 0; k < STATES; k++) {
    // nearest states first: s, s − 1, s + 1, …
    const s = (state + (k % 2 === 1 ? -((k + 1) >> 1) : k >> 1) + STATES) % STATES
    const low = model.donorLow[s * YEAR + day]!
    const size = model.donorHigh[s * YEAR + day]! - low
    const list = model.donors[s]!
    if (size <= 0) continue
    const index = low + Math.floor(u * size)
    return list[((index % list.length) + list.length) % list.length]!
  }
  return -1
}
