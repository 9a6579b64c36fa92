import { carriesOffset, isZulu, timePattern } from '../strptime.ts'
import { isNumericFormat, timeFormatTrouble, yearRange } from '../time.ts'
import { firstOffset, zoneTransitions } from '../zone.ts'
import { once, quote, stepwise } from './write.ts'

export type SqlZone = { name: string } | { expr: string; zones: readonly string[] }

export interface SqlTimeOptions {
  formats?: readonly string[]
  /** One zone for all rows, or an SQL expression of the row's zone with all the names it may have. */
  zone: SqlZone
}

const timestamp = (ms: number): string =>
  `TIMESTAMP '${new Date(ms).toISOString().slice(0, 19).replace('T', ' ')}'`
const seconds = (count: number): string => `to_seconds(${count})`

/** Runs `body` for the zone of the row. A name outside the list, or blank, gives NULL. */
function perZone(zone: SqlZone, body: (name: string) => string): string {
  if ('name' in zone) return body(zone.name)
  if (zone.zones.length === 0) return 'NULL'
  return `CASE ${zone.expr} ${zone.zones.map((name) => `WHEN ${quote(name)} THEN ${body(name)}`).join(' ')} END`
}

/** Offset (seconds) to take off a wall-clock reading `t` of a zone. */
function localOffset(zone: string, t: string): string {
  const changes = zoneTransitions(zone)
  const steps = changes.map((change) => ({
    until: timestamp(change.at + Math.max(change.before_s, change.after_s) * 1000),
    result: String(change.before_s),
  }))
  return stepwise(t, steps, String(changes.at(-1)?.after_s ?? firstOffset(zone)))
}

function utcOffset(zone: string, t: string): string {
  const changes = zoneTransitions(zone)
  const steps = changes.map((change) => ({ until: timestamp(change.at), result: String(change.before_s) }))
  return stepwise(t, steps, String(changes.at(-1)?.after_s ?? firstOffset(zone)))
}

function troubleOf(zone: string, t: string): string {
  const steps = zoneTransitions(zone).flatMap((change) => {
    const bounds = [change.before_s, change.after_s]
      .sort((a, b) => a - b)
      .map((offset) => timestamp(change.at + offset * 1000))
    return [
      { until: bounds[0]!, result: 'NULL' },
      { until: bounds[1]!, result: change.after_s > change.before_s ? `'no-such-time'` : `'occurs-twice'` },
    ]
  })
  return stepwise(t, steps, 'NULL')
}

/** Shape of the texts that a pattern can read, as a regular expression: failing strptime calls are dear. */
function shape(format: string): string {
  const shapes: Record<string, string> = {
    b: '[A-Za-z]{3}',
    B: '[A-Za-z]{3,9}',
    a: '[A-Za-z]{3}',
    A: '[A-Za-z]{6,9}',
    p: '[AaPp][Mm]',
    Y: '[0-9]{1,4}',
    f: '[0-9]{1,6}',
    j: '[0-9]{1,3}',
    z: '[+-][0-9]{2}(?::?[0-9]{2})?',
  }
  return timePattern(format)
    .map((piece) =>
      'literal' in piece
        ? piece.literal.replace(/[.*+?^${}()|[\]\\/]/, '\\$&')
        : (shapes[piece.specifier] ?? '[0-9]{1,2}'),
    )
    .join('')
}

const iso = `([0-9]{4}-[0-9]{1,2}-[0-9]{1,2})[Tt ]([0-9]{1,2}:[0-9]{2}(?::[0-9]{2})?)(?:[.,]([0-9]{1,9}))? ?([Zz]|[+-][0-9]{2}(?::?[0-9]{2})?)?`
const isoPlain = `[0-9]{4}-[0-9]{2}-[0-9]{2}[T ][0-9]{2}:[0-9]{2}(?::[0-9]{2})?`
const inRange = (t: string): string =>
  `CASE WHEN year(${t}) BETWEEN ${yearRange.from} AND ${yearRange.to} THEN ${t} END`

/** `{l: wall-clock reading, o: its own offset in seconds or NULL}` of a text. */
export const timeMacros = [
  `CREATE OR REPLACE MACRO val.offset_seconds(z) AS CASE WHEN z IN ('Z', 'z') THEN 0 WHEN z = '' THEN NULL
    ELSE (CASE z[1] WHEN '-' THEN -1 ELSE 1 END) * (TRY_CAST(z[2:3] AS INTEGER) * 3600 + coalesce(TRY_CAST(regexp_extract(z[4:], '[0-9]+') AS INTEGER), 0) * 60) END`,
  `CREATE OR REPLACE MACRO val.iso_parts(x) AS ${once(
    `regexp_extract(val.tidy(x), ${quote(`^${iso}$`)}, ['d', 't', 'f', 'z'])`,
    'p',
    `{l: TRY_CAST(p.d || ' ' || p.t || CASE p.f WHEN '' THEN '' ELSE '.' || p.f[1:6] END AS TIMESTAMP), o: val.offset_seconds(p.z)}`,
  )}`,
  `CREATE OR REPLACE MACRO val.iso_wall(x) AS CASE WHEN regexp_full_match(x, ${quote(isoPlain)})
    THEN {l: TRY_CAST(x AS TIMESTAMP), o: CAST(NULL AS INTEGER)} WHEN regexp_full_match(x, ${quote(`${isoPlain.slice(0, -1)}Z`)}) THEN {l: TRY_CAST(x AS TIMESTAMP), o: 0}
    ELSE val.iso_parts(x) END`,
]

/** SQL of `{l, o}` for one format. */
function wallOf(x: string, format: string): string {
  const count = `TRY_CAST(${x} AS DOUBLE)`
  const local = (l: string, o: string) => `{l: ${l}, o: CAST(${o} AS INTEGER)}`
  if (format === 'epoch_s') return local(`make_timestamp(CAST(round(${count} * 1000) AS BIGINT) * 1000)`, '0')
  if (format === 'epoch_ms') return local(`make_timestamp(CAST(round(${count}) AS BIGINT) * 1000)`, '0')
  if (format === 'excel_serial') {
    return local(
      `CASE WHEN ${count} >= 61 THEN TIMESTAMP '1899-12-30' + to_seconds(CAST(round(${count} * 86400) AS BIGINT)) END`,
      'NULL',
    )
  }
  const parsed = `try_strptime(${x}, ${quote(format)})`
  if (/%z/.test(format)) return local(`make_timestamp(epoch_us(${parsed}))`, '0')
  return local(parsed, isZulu(format) ? '0' : 'NULL')
}

function wall(expr: string, formats: readonly string[] | undefined): string {
  if (!formats?.length) return `val.iso_wall(${expr})`
  const branches = formats.map((format) => {
    const trouble = timeFormatTrouble(format)
    if (trouble) throw new Error(trouble)
    const guard = isNumericFormat(format) ? '[0-9]{1,14}(?:[.][0-9]*)?' : shape(format)
    return `${once(`CASE WHEN regexp_full_match(x, ${quote(guard)}) THEN ${wallOf('x', format)} END`, 'w', 'CASE WHEN w.l IS NOT NULL THEN w END')}`
  })
  return once(
    `val.tidy(${expr})`,
    'x',
    branches.length === 1 ? branches[0]! : `coalesce(${branches.join(', ')})`,
  )
}

/** SQL for a moment in UTC; NULL if it cannot be read. Throws for a format that cannot be used. See `readTime`. */
export function time(expr: string, options: SqlTimeOptions): string {
  const shifted = perZone(options.zone, (zone) => {
    const offset = localOffset(zone, 'w.l')
    return offset === '0' ? 'w.l' : `w.l - to_seconds(${offset})`
  })
  const own =
    options.formats?.length &&
    !options.formats.some((format) => carriesOffset(format) || format.startsWith('epoch'))
      ? shifted
      : `CASE WHEN w.o IS NULL THEN ${shifted} ELSE w.l - to_seconds(w.o) END`
  return once(
    wall(expr, options.formats),
    'w',
    `CASE WHEN year(w.l) BETWEEN ${yearRange.from} AND ${yearRange.to} THEN ${own} END`,
  )
}

export interface SqlTroubleOptions extends SqlTimeOptions {
  /** The UTC time already computed for the row: only rows near a change of the clock are then read again. */
  utc?: string
}

/** SQL for 'no-such-time', 'occurs-twice' or NULL. See `timeTrouble`. */
export function timeTrouble(expr: string, options: SqlTroubleOptions): string {
  const full = once(
    wall(expr, options.formats),
    'w',
    `CASE WHEN w.o IS NULL AND w.l IS NOT NULL THEN ${perZone(options.zone, (zone) => troubleOf(zone, 'w.l'))} END`,
  )
  if (options.utc === undefined) return `CAST(${full} AS VARCHAR)`
  const near = perZone(options.zone, (zone) => {
    const steps = zoneTransitions(zone).flatMap((change) => {
      const gap = Math.abs(change.after_s - change.before_s) * 1000
      return [
        { until: timestamp(change.at - gap), result: 'false' },
        { until: timestamp(change.at + gap), result: 'true' },
      ]
    })
    return stepwise(options.utc!, steps, 'false')
  })
  return `CAST(CASE WHEN ${near} THEN ${full} END AS VARCHAR)`
}

/** SQL for a DATE; ISO 8601 or by formats. See `readDate`. */
export function date(expr: string, formats?: readonly string[]): string {
  if (formats?.length) return once(wall(expr, formats), 'w', `CAST(${inRange('w.l')} AS DATE)`)
  return once(
    `CASE WHEN regexp_full_match(val.tidy(${expr}), '[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}') THEN TRY_CAST(val.tidy(${expr}) AS DATE) END`,
    'd',
    inRange('d'),
  )
}

/** SQL for the local DATE of a UTC timestamp in a zone. */
export function localDate(utcExpr: string, zone: SqlZone): string {
  return once(
    utcExpr,
    't',
    `CAST(${perZone(zone, (name) => `t + ${seconds(0).replace('0', utcOffset(name, 't'))}`)} AS DATE)`,
  )
}
