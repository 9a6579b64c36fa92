/** One change of a zone's clock: the UTC instant, and the offsets from UTC before and after it, in seconds. */
export interface ZoneTransition {
  /** Milliseconds since 1970 UTC of the first instant with the new offset. */
  at: number
  before_s: number
  after_s: number
}

/** Years whose clock changes are known to both faces; outside them the nearest known offset is used. */
export const zoneYears = { from: 1995, to: 2050 } as const

const formatters = new Map<string, Intl.DateTimeFormat>()
const tables = new Map<string, ZoneTransition[]>()

/** True for an IANA zone name that this runtime knows. */
export function isZone(name: string): boolean {
  try {
    return /[a-z]/i.test(name) && formatter(name) !== null
  } catch {
    return false
  }
}

function formatter(zone: string): Intl.DateTimeFormat {
  let made = formatters.get(zone)
  if (!made) {
    made = new Intl.DateTimeFormat('en-US', { timeZone: zone, timeZoneName: 'longOffset' })
    formatters.set(zone, made)
  }
  return made
}

/** Seconds to add to UTC for the zone's clock at an instant; straight from the runtime's zone data. */
function offsetFromRuntime(zone: string, at: number): number {
  // `GMT`, `GMT-07:00` or, long ago, `GMT-07:52:58`: the parts of a local time would take five times as long to make.
  const [, sign, hours, minutes, seconds] = /GMT(?:([+-])(\d{2}):(\d{2})(?::(\d{2}))?)?$/.exec(
    formatter(zone).format(Math.floor(at / 1000) * 1000),
  )!
  const size = Number(hours ?? 0) * 3600 + Number(minutes ?? 0) * 60 + Number(seconds ?? 0)
  return sign === '-' ? -size : size
}

/**
 * The clock changes of a zone from the start of one year to the end of another, in order of time.
 * Found by sampling every ten days and bisecting, to the quarter of an hour and, where that is not yet it, to the second. Throws a RangeError for an unknown zone.
 */
export function zoneTransitions(
  zone: string,
  fromYear: number = zoneYears.from,
  toYear: number = zoneYears.to,
): ZoneTransition[] {
  const key = `${zone} ${fromYear} ${toYear}`
  const known = tables.get(key)
  if (known) return known
  const found: ZoneTransition[] = []
  const step = 10 * 86_400_000
  const end = Date.UTC(toYear + 1, 0, 1)
  let left = Date.UTC(fromYear, 0, 1)
  let leftOffset = offsetFromRuntime(zone, left)
  while (left < end) {
    const right = Math.min(left + step, end)
    const rightOffset = offsetFromRuntime(zone, right)
    if (rightOffset !== leftOffset) {
      found.push({
        at: firstWith(zone, left, right, rightOffset),
        before_s: leftOffset,
        after_s: rightOffset,
      })
    }
    left = right
    leftOffset = rightOffset
  }
  tables.set(key, found)
  return found
}

function firstWith(zone: string, from: number, to: number, offset: number): number {
  const quarter = bisected(zone, from, to, offset, 900_000)
  const isIt = offsetFromRuntime(zone, quarter - 1000) !== offset
  return isIt ? quarter : bisected(zone, quarter - 900_000, quarter, offset, 1000)
}

/** The first of the instants `step` ms apart that has the offset; `from` has it not, and `to` has. */
function bisected(zone: string, from: number, to: number, offset: number, step: number): number {
  let low = 0
  let high = (to - from) / step
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2)
    if (offsetFromRuntime(zone, from + middle * step) === offset) high = middle
    else low = middle
  }
  return from + high * step
}

/** Offset in seconds that the zone has before its first known change (or always). */
export function firstOffset(zone: string): number {
  return zoneTransitions(zone)[0]?.before_s ?? offsetFromRuntime(zone, Date.UTC(zoneYears.from, 0, 1))
}

/** Seconds to add to UTC for the zone's clock at a UTC instant (ms). */
export function zoneOffset(zone: string, at: number): number {
  let offset = firstOffset(zone)
  for (const change of zoneTransitions(zone)) {
    if (at < change.at) break
    offset = change.after_s
  }
  return offset
}

export type TimeTrouble = 'no-such-time' | 'occurs-twice'

/**
 * A wall-clock reading (ms as if it were UTC) to UTC ms. A reading that occurs twice is taken as the first of
 * the two (summer time); one that the clock skips is moved forward by the gap, as a clock that was not yet put
 * forward would read. Both are one rule: the old offset holds until both readings of the change have passed.
 */
export function localToUtc(local: number, zone: string): { utc: number; trouble: TimeTrouble | null } {
  let offset = firstOffset(zone)
  let trouble: TimeTrouble | null = null
  for (const change of zoneTransitions(zone)) {
    const early = change.at + Math.min(change.before_s, change.after_s) * 1000
    const late = change.at + Math.max(change.before_s, change.after_s) * 1000
    if (local >= late) {
      offset = change.after_s
      continue
    }
    if (local >= early) trouble = change.after_s > change.before_s ? 'no-such-time' : 'occurs-twice'
    break
  }
  return { utc: local - offset * 1000, trouble }
}
