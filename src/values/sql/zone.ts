import { firstOffset, type ZoneTransition, zoneTransitions } from '../zone.ts'
import { once, quote, stepwise } from './write.ts'

/** One zone for all rows; or an SQL expression of the row's zone and all the names that it may have (others: NULL). */
export type SqlZone = { name: string } | { expr: string; zones: readonly string[] }

const timestamp = (ms: number): string =>
  `TIMESTAMP '${new Date(ms).toISOString().slice(0, 19).replace('T', ' ')}'`
const later = (change: ZoneTransition): number => change.at + Math.max(change.before_s, change.after_s) * 1000
const earlier = (change: ZoneTransition): number =>
  change.at + Math.min(change.before_s, change.after_s) * 1000

/** Body for the zone of the row; `none` is the SQL null of its type. */
function perZone(zone: SqlZone, none: string, body: (name: string) => string): string {
  if ('name' in zone) return body(zone.name)
  if (zone.zones.length === 0) return none
  return `CASE ${zone.expr} ${zone.zones.map((name) => `WHEN ${quote(name)} THEN ${body(name)}`).join(' ')} END`
}

/** `variable` plus `sign` times the zone's offset, the offset changing at the points that `until` gives. */
function moved(
  zone: string,
  variable: string,
  sign: 1 | -1,
  until: (change: ZoneTransition) => number,
): string {
  const by = (offset: number) => {
    const seconds = offset * sign
    return seconds === 0
      ? variable
      : `${variable} ${seconds < 0 ? '-' : '+'} INTERVAL ${Math.abs(seconds)} SECOND`
  }
  const changes = zoneTransitions(zone)
  const steps = changes.map((change) => ({ until: timestamp(until(change)), result: by(change.before_s) }))
  return stepwise(variable, steps, by(changes.at(-1)?.after_s ?? firstOffset(zone)))
}

/** A wall-clock TIMESTAMP to UTC: the first of two readings, and forward over a gap. See `localToUtc`. */
export function localToUtcSql(wall: string, zone: SqlZone): string {
  if ('name' in zone && moved(zone.name, 'w', -1, later) === 'w') return wall
  return once(
    wall,
    'w',
    perZone(zone, 'CAST(NULL AS TIMESTAMP)', (name) => moved(name, 'w', -1, later)),
  )
}

/** A UTC TIMESTAMP to the wall clock of a zone. */
export function utcToLocalSql(utc: string, zone: SqlZone): string {
  return once(
    utc,
    'w',
    perZone(zone, 'CAST(NULL AS TIMESTAMP)', (name) => moved(name, 'w', 1, (change) => change.at)),
  )
}

/** 'no-such-time', 'occurs-twice' or NULL of a wall-clock TIMESTAMP. */
export function troubleSql(wall: string, zone: SqlZone): string {
  const none = 'CAST(NULL AS VARCHAR)'
  const body = perZone(zone, none, (name) => {
    const steps = zoneTransitions(name).flatMap((change) => [
      { until: timestamp(earlier(change)), result: none },
      {
        until: timestamp(later(change)),
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
        { until: timestamp(change.at - gap), result: 'false' },
        { until: timestamp(change.at + gap), result: 'true' },
      ]
    })
    return stepwise(utc, steps, 'false')
  })
}
