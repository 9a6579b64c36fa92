import type { Night } from './scope.ts'

/** One operating day of an aircraft, a tank, or the fluid of an aircraft without a tank, as it stands; times in ms. */
export interface HolderDay {
  kind: 'aircraft' | 'tank' | 'bare'
  holder: string
  /** Null where it was not asked for. */
  season: string | null
  day: string
  /** Null, both, where all of it is older than what is looked at. */
  first_ms: number | null
  last_ms: number | null
  /** What the fluid did first: 0 went in; null when nothing is on record. */
  first_step: number | null
  last_load_ms: number | null
  has_earlier: boolean
  has_load: boolean
  has_flight: boolean
  is_changed: boolean
}

const quiet_ms = 6 * 3_600_000
export const day_ms = 86_400_000

/**
 * The latest moment before a change from which on everything can be made again by itself: a night with nothing in the air
 * for six hours before it, between operating days, after which each aircraft and tank is filled before anything leaves it,
 * and each that changed is filled at least once more before the change. Days until `from` count as one. With `isSeasonAsked`, the flights
 * of a season must not begin with the change. Null without any.
 */
export function cutBefore(
  days: readonly HolderDay[],
  from: string,
  changed_ms: number,
  isSeasonAsked: boolean,
): Night | null {
  const holders = new Map<string, HolderDay[]>()
  for (const one of days) {
    const key = `${one.kind} ${one.holder}`
    const list = holders.get(key)
    if (list) list.push(one)
    else holders.set(key, [one])
  }
  const lists = [...holders.values()]
  const candidates = [...new Set(days.map((one) => one.day)), iso(changed_ms).slice(0, 10)]
    .filter((day) => day > from)
    .sort()
    .reverse()
  for (const day of new Set(candidates)) {
    const at = days.reduce(
      (least, one) => (one.day >= day ? Math.min(least, one.first_ms ?? least) : least),
      changed_ms,
    )
    if (!lists.every((list) => isCleanAt(list, day, at, isSeasonAsked))) continue
    // What came now may lie before every day that stands after the cut: its own days are made again, too.
    const own = iso(at).slice(0, 10)
    return { at: iso(at), day: [day, own].sort()[0]! }
  }
  return null
}

function isCleanAt(list: readonly HolderDay[], day: string, at: number, isSeasonAsked: boolean): boolean {
  const before = list.filter((one) => one.day < day)
  const after = list.filter((one) => one.day >= day)
  if (before.some((one) => (one.last_ms ?? Number.NEGATIVE_INFINITY) + quiet_ms >= at)) return false
  const fluid = after.filter((one) => one.first_step !== null)
  const first = fluid.reduce<HolderDay | null>((a, b) => (a && a.day <= b.day ? a : b), null)
  if (first && first.first_step !== 0) return false
  const [any] = list
  if (!any?.is_changed) return true
  const isKnown = list.some((one) => one.has_earlier)
  if (isKnown && !list.some((one) => one.last_load_ms !== null && one.last_load_ms >= at)) return false
  if (!isSeasonAsked) return true
  if (any.kind !== 'aircraft' || !list.some((one) => one.has_flight)) return true
  const last = before.at(-1)?.season ?? null
  const seasons = new Set([...after.map((one) => one.season), ...(last === null ? [] : [last])])
  return [...seasons].every((season) => {
    const own = before.filter((one) => one.season === season)
    return own.every((one) => !one.has_load) || own.some((one) => one.has_flight)
  })
}

/** Nights after a change, the first and one some days later, by which tanks may stand as they do now: with nothing in the air for six hours. */
export function nightsAfter(days: readonly HolderDay[], cut: Night, changed_ms: number): Night[] {
  const found: Night[] = []
  let least_ms = changed_ms + quiet_ms
  for (const day of [...new Set(days.map((one) => one.day))].sort()) {
    if (day <= cut.day || found.length === 2) continue
    const at = days.reduce(
      (least, one) => (one.day >= day ? Math.min(least, one.first_ms ?? least) : least),
      Number.POSITIVE_INFINITY,
    )
    const isQuiet = days.every(
      (one) => one.day >= day || (one.last_ms ?? Number.NEGATIVE_INFINITY) + quiet_ms < at,
    )
    if (!Number.isFinite(at) || at <= least_ms || !isQuiet) continue
    found.push({ at: iso(at), day })
    least_ms = at + 6 * day_ms
  }
  return found
}

/** A moment as ISO text in UTC, to the millisecond, without its Z. */
export const iso = (ms: number): string => new Date(ms).toISOString().slice(0, 23)
