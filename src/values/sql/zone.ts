import { firstOffset, type ZoneTransition, zoneTransitions, zoneYears } from '../zone.ts'
import { once, quote } from './write.ts'

/** One zone for all rows; or an SQL expression of the row's zone and all the names that it may have (others: NULL). */
export type SqlZone = { name: string } | { expr: string; zones: readonly string[] }

const timestamp = (ms: number): string =>
  `TIMESTAMP '${new Date(ms).toISOString().slice(0, 19).replace('T', ' ')}'`
const later = (change: ZoneTransition): number => change.at + Math.max(change.before_s, change.after_s) * 1000
const earlier = (change: ZoneTransition): number =>
  change.at + Math.min(change.before_s, change.after_s) * 1000

const years = Array.from(
  { length: zoneYears.to - zoneYears.from + 3 },
  (_, index) => zoneYears.from - 1 + index,
)
const distantPast = Date.UTC(1800, 0, 1)

/** What holds until a moment; `last` holds after all of them. */
interface Step {
  until: number
  result: string
}

/**
 * The offset from UTC, in seconds, at the timestamp `w`, as sums and products over constant lists indexed by zone and
 * year. No CASE and no lambda: DuckDB shares `w` among all its mentions only outside CASE, and sets a lambda's
 * expression up anew for every chunk of rows.
 */
function offset(zone: SqlZone, w: string, until: (change: ZoneTransition) => number): string {
  const names = 'name' in zone ? [zone.name] : zone.zones
  const lists = names.flatMap((name) => years.map((year) => changesOf(name, year, until)))
  const depth = Math.max(0, ...lists.map((list) => list.length))
  const inYears = `greatest(least(year(${w}), ${years.at(-1)}), ${years[0]}) - ${years[0]! - 1}`
  const index =
    'name' in zone
      ? inYears
      : `(list_position([${names.map(quote).join(', ')}], ${zone.expr}) - 1) * ${years.length} + ${inYears}`
  const at = (entries: readonly string[]): string =>
    names.length === 1 && 'name' in zone && entries.every((entry) => entry === entries[0])
      ? entries[0]!
      : `[${entries.join(', ')}][${index}]`
  const start = names.flatMap((name) =>
    years.map((year) => String(offsetBefore(name, Date.UTC(year, 0, 1), until))),
  )
  const terms = Array.from({ length: depth }, (_, k) => {
    const from = at(lists.map((list) => timestamp(list[k] ? until(list[k]) : distantPast)))
    const by = at(lists.map((list) => String(list[k] ? list[k].after_s - list[k].before_s : 0)))
    return ` + CAST(${w} >= ${from} AS INTEGER) * ${by}`
  })
  return at(start) + terms.join('')
}

const changesOf = (zone: string, year: number, until: (change: ZoneTransition) => number): ZoneTransition[] =>
  zoneTransitions(zone).filter((change) => new Date(until(change)).getUTCFullYear() === year)

/** Offset at the start of a year, whose own changes come on top. */
function offsetBefore(zone: string, start: number, until: (change: ZoneTransition) => number): number {
  return zoneTransitions(zone).findLast((change) => until(change) < start)?.after_s ?? firstOffset(zone)
}

/**
 * A TIMESTAMP to UTC: the first of two readings, and forward over a gap (see `localToUtc`). Where `exact` is true the
 * timestamp is UTC already and stays.
 */
export function localToUtcSql(wall: string, zone: SqlZone, exact?: string): string {
  const seconds = offset(zone, wall, later)
  if (seconds === '0') return wall
  return `${wall} - to_seconds(${exact === undefined ? seconds : `(${seconds}) * CAST(${exact} AS INTEGER)`})`
}

/** A UTC TIMESTAMP to the wall clock of a zone. */
export function utcToLocalSql(utc: string, zone: SqlZone): string {
  return `${utc} + to_seconds(${offset(zone, utc, (change) => change.at)})`
}

/** Body for the zone of the row; `none` is the SQL null of its type. */
function perZone(zone: SqlZone, none: string, body: (name: string) => string): string {
  if ('name' in zone) return body(zone.name)
  if (zone.zones.length === 0) return none
  return `CASE ${zone.expr} ${zone.zones.map((name) => `WHEN ${quote(name)} THEN ${body(name)}`).join(' ')} END`
}

/** Balanced nested CASE: a column costs a few comparisons however many steps there are. */
function stepwise(variable: string, steps: readonly Step[], last: string): string {
  if (steps.length === 0) return last
  const middle = Math.floor(steps.length / 2)
  const step = steps[middle]!
  const below = stepwise(variable, steps.slice(0, middle), step.result)
  const above = stepwise(variable, steps.slice(middle + 1), last)
  return below === above
    ? below
    : `CASE WHEN ${variable} < ${timestamp(step.until)} THEN ${below} ELSE ${above} END`
}

/** 'no-such-time', 'occurs-twice' or NULL of a wall-clock TIMESTAMP. */
export function troubleSql(wall: string, zone: SqlZone): string {
  const none = 'CAST(NULL AS VARCHAR)'
  const body = perZone(zone, none, (name) => {
    const steps = zoneTransitions(name).flatMap((change) => [
      { until: earlier(change), result: none },
      {
        until: later(change),
        result: change.after_s > change.before_s ? `'no-such-time'` : `'occurs-twice'`,
      },
    ])
    return stepwise('w', steps, none)
  })
  return once(wall, 'w', body)
}

/** True for a UTC TIMESTAMP that a skipped or repeated reading can have given. */
export function nearChangeSql(utc: string, zone: SqlZone): string {
  return perZone(zone, 'false', (name) => {
    const steps = zoneTransitions(name).flatMap((change) => {
      const gap = Math.abs(change.after_s - change.before_s) * 1000
      return [
        { until: change.at - gap, result: 'false' },
        { until: change.at + gap, result: 'true' },
      ]
    })
    return stepwise(utc, steps, 'false')
  })
}
