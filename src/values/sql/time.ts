import { carriesOffset, type Piece, runningHour, timePattern } from '../strptime.ts'
import { isNumericFormat, timeFormatTrouble } from '../time.ts'
import { anySpace } from './text.ts'
import { once, quote } from './write.ts'
import { localToUtcSql, nearChangeSql, type SqlZone, troubleSql, utcToLocalSql } from './zone.ts'

export interface SqlTimeOptions {
  formats?: readonly string[]
  /** One zone for all rows, or an SQL expression of the row's zone with all the names it may have. */
  zone: SqlZone
}

/** Years 1900 to 2099, the only ones that are read; see `yearRange`. */
const year = '(?:19|20)[0-9]{2}'
const spaces = `${anySpace}*`
const isoDay = `${year}-[0-9]{1,2}-[0-9]{1,2}`
const isoClock = '[0-9]{1,2}:[0-9]{2}(?::[0-9]{2})?'
const isoLocal = `^${spaces}(${isoDay})(?:[Tt]|${anySpace}+)(${isoClock})(?:[.,]([0-9]{1,9}))?${spaces}$`
const isoExact = `^${spaces}(${isoDay})(?:[Tt]|${anySpace}+)(${isoClock})(?:[.,]([0-9]{1,9}))?${spaces}([Zz]|[+-][0-9]{2}(?::?[0-5][0-9])?)${spaces}$`
const common = `${year}-[0-9]{2}-[0-9]{2}[T ][0-9]{2}:[0-9]{2}(?::[0-9]{2})?`

const isoStamp = `TRY_CAST(p.d || ' ' || p.t || CASE p.f WHEN '' THEN '' ELSE '.' || p.f[1:6] END AS TIMESTAMP)`

export const timeMacros: string[] = [
  `CREATE OR REPLACE MACRO val.offset_seconds(z) AS CASE WHEN z IN ('Z', 'z') THEN 0
    ELSE (CASE z[1] WHEN '-' THEN -1 ELSE 1 END) * (TRY_CAST(z[2:3] AS INTEGER) * 3600 + coalesce(TRY_CAST(right(z, 2) AS INTEGER), 0) * CASE WHEN strlen(z) > 3 THEN 60 ELSE 0 END) END`,
  // ISO 8601 without an offset: the wall-clock reading.
  `CREATE OR REPLACE MACRO val.iso_local(x) AS CASE WHEN regexp_full_match(x, ${quote(common)}) THEN TRY_CAST(x AS TIMESTAMP)
    WHEN regexp_matches(x, ${quote(isoLocal)}) THEN ${once(`regexp_extract(x, ${quote(isoLocal)}, ['d', 't', 'f'])`, 'p', isoStamp)} END`,
  // ISO 8601 with an offset or Z: the moment itself.
  `CREATE OR REPLACE MACRO val.iso_exact(x) AS CASE WHEN regexp_full_match(x, ${quote(common)}) THEN NULL
    WHEN regexp_full_match(x, ${quote(`${year}-[0-9]{2}-[0-9]{2}[T ][0-9]{2}:[0-9]{2}:[0-9]{2}Z`)}) THEN TRY_CAST(x AS TIMESTAMP)
    WHEN regexp_matches(x, ${quote(isoExact)}) THEN ${once(
      `regexp_extract(x, ${quote(isoExact)}, ['d', 't', 'f', 'z'])`,
      'p',
      `CASE WHEN abs(val.offset_seconds(p.z)) <= 64800 THEN ${isoStamp} - to_seconds(val.offset_seconds(p.z)) END`,
    )} END`,
  `CREATE OR REPLACE MACRO val.iso_date(x) AS CASE WHEN regexp_full_match(x, ${quote(isoDay)}) THEN TRY_CAST(x AS DATE) END`,
]

/** Shape of the texts that a pattern can read, as a regular expression: a failing strptime call is dear. */
function shape(pieces: readonly Piece[]): string {
  const shapes: Readonly<Record<string, string>> = {
    Y: year,
    y: '[0-9]{2}',
    f: '[0-9]{1,6}',
    j: '[0-9]{1,3}',
    p: '[AaPp][Mm]',
    z: '[+-][0-9]{2}(?::?[0-9]{2})?',
    b: '[A-Za-z]{3}',
    B: '[A-Za-z]{3,9}',
    a: '[A-Za-z]{3}',
    A: '[A-Za-z]{6,9}',
  }
  return pieces
    .map((piece) => {
      if ('specifier' in piece) return shapes[piece.specifier] ?? '[0-9]{1,2}'
      return piece.literal === ' ' ? ' ' : piece.literal.replace(/[.*+?^${}()|[\]\\/]/, '\\$&')
    })
    .join('')
}

/** Texts of a format become a timestamp: UTC if the format carries an offset, else the wall-clock reading. */
function byFormat(x: string, format: string): string {
  const trouble = timeFormatTrouble(format)
  if (trouble) throw new Error(trouble)
  if (isNumericFormat(format)) {
    const count = `TRY_CAST(${x} AS DOUBLE)`
    const stamp = {
      epoch_s: `CASE WHEN ${count} < 4102444800 THEN make_timestamp(CAST(round(${count} * 1000) AS BIGINT) * 1000) END`,
      epoch_ms: `CASE WHEN ${count} < 4102444800000 THEN make_timestamp(CAST(round(${count}) AS BIGINT) * 1000) END`,
      excel_serial: `CASE WHEN ${count} >= 61 AND ${count} < 73051 THEN TIMESTAMP '1899-12-30' + to_seconds(CAST(round(${count} * 86400) AS BIGINT)) END`,
    }[format]
    return `CASE WHEN regexp_full_match(${x}, '[0-9]{1,14}(?:[.][0-9]*)?') THEN ${stamp} END`
  }
  const parse = (text: string) => {
    const parsed = `try_strptime(${text}, ${quote(format)})`
    return /%z/.test(format) ? `make_timestamp(epoch_us(${parsed}))` : parsed
  }
  const pieces = timePattern(format)
  const hour = runningHour(pieces)
  if (hour < 0) return `CASE WHEN regexp_full_match(${x}, ${quote(shape(pieces))}) THEN ${parse(x)} END`
  const [before, after] = [shape(pieces.slice(0, hour)), shape(pieces.slice(hour + 2))]
  // Without its leading zero, the time of day gets it before it is read.
  const padded = `regexp_replace(${x}, ${quote(`^(${before})`)}, '\\10')`
  return `CASE WHEN regexp_full_match(${x}, ${quote(`${before}[0-9]{4}${after}`)}) THEN ${parse(x)}
    WHEN regexp_full_match(${x}, ${quote(`${before}[0-9]{3}${after}`)}) THEN ${parse(padded)} END`
}

const firstOf = (list: readonly string[]): string | null =>
  list.length === 0 ? null : list.length === 1 ? list[0]! : `coalesce(${list.join(', ')})`

/** The first of the formats that reads the text as it stands, else the text tidied. */
function byFormats(expr: string, formats: readonly string[]): string | null {
  const asItStands = formats.map((format) => byFormat(expr, format))
  const tidied = firstOf(formats.map((format) => byFormat('x', format)))
  if (tidied === null) return null
  const untidy = `CASE WHEN val.tidy(${expr}) <> ${expr} THEN val.plain_text(${expr}) END`
  return firstOf([...asItStands, once(untidy, 'x', tidied)])
}

const exact = (format: string): boolean => carriesOffset(format) || format.startsWith('epoch')

/** The two readings of a text: a moment that says its own offset, and a wall-clock reading; either may be null SQL. */
function readings(
  expr: string,
  formats: readonly string[] | undefined,
): { moment: string | null; wall: string | null } {
  if (!formats?.length) return { moment: `val.iso_exact(${expr})`, wall: `val.iso_local(${expr})` }
  return {
    moment: byFormats(expr, formats.filter(exact)),
    wall: byFormats(
      expr,
      formats.filter((format) => !exact(format)),
    ),
  }
}

/** SQL for a moment in UTC; NULL if it cannot be read. Throws for a format that cannot be used. See `readTime`. */
export function time(expr: string, options: SqlTimeOptions): string {
  const { moment, wall } = readings(expr, options.formats)
  if (wall === null) return moment!
  if (moment === null) return localToUtcSql(wall, options.zone)
  return localToUtcSql(`coalesce(${moment}, ${wall})`, options.zone, `${moment} IS NULL`)
}

export interface SqlTroubleOptions extends SqlTimeOptions {
  /** Column with the UTC time already computed for the row: only rows near a change of the clock are read again. */
  utc?: string
}

/** SQL for 'no-such-time', 'occurs-twice' or NULL. See `timeTrouble`. */
export function timeTrouble(expr: string, options: SqlTroubleOptions): string {
  const { wall } = readings(expr, options.formats)
  if (wall === null) return 'CAST(NULL AS VARCHAR)'
  const trouble = troubleSql(wall, options.zone)
  if (options.utc === undefined) return trouble
  return `CASE WHEN ${nearChangeSql(options.utc, options.zone)} THEN ${trouble} END`
}

/** SQL for a DATE; ISO 8601 or by formats. See `readDate`. */
export function date(expr: string, formats?: readonly string[]): string {
  if (!formats?.length) return `coalesce(val.iso_date(${expr}), val.iso_date(val.plain_text(${expr})))`
  return `CAST(${byFormats(expr, formats)} AS DATE)`
}

/** SQL for the local DATE of a UTC timestamp in a zone. */
export function localDate(utcExpr: string, zone: SqlZone): string {
  return `CAST(${utcToLocalSql(utcExpr, zone)} AS DATE)`
}
