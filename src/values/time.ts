import { bad, good, type Read } from './read.ts'
import { carriesOffset, dateExists, strptime, timePattern, type WallTime } from './strptime.ts'
import { tidy } from './text.ts'
import { localToUtc, type TimeTrouble, zoneOffset } from './zone.ts'

export interface TimeOptions {
  /** strptime patterns tried in order, or `epoch_s`, `epoch_ms`, `excel_serial`; none means ISO 8601. */
  formats?: readonly string[]
  /** IANA name of the zone in which times without an offset are meant. */
  zone: string
}

/** Years outside this span are typing errors, not seasons. */
export const yearRange = { from: 1900, to: 2099 } as const

const earliest = Date.UTC(yearRange.from, 0, 1)
const latest = Date.UTC(yearRange.to + 1, 0, 1)

export const numericFormats = ['epoch_s', 'epoch_ms', 'excel_serial'] as const
export type NumericFormat = (typeof numericFormats)[number]
export const isNumericFormat = (format: string): format is NumericFormat =>
  (numericFormats as readonly string[]).includes(format)

/** Why a time format of a profile cannot be used, or `null`. */
export function timeFormatTrouble(format: string): string | null {
  if (isNumericFormat(format)) return null
  try {
    return timePattern(format).some((piece) => 'specifier' in piece)
      ? null
      : `time format '${format}' reads nothing`
  } catch (error) {
    return (error as Error).message
  }
}

/**
 * A moment in UTC. Without formats ISO 8601: `T` or a space, seconds and fraction optional, `24:00` is the next
 * midnight, an offset or `Z` is exact and wins over the zone. A date without a time is no moment and is refused.
 * Local times that the clock skips or shows twice are resolved as `localToUtc` says; `timeTrouble` names them.
 */
export function readTime(text: string, options: TimeOptions): Read<Date> {
  const wall = readWall(text, options.formats)
  if (!wall.ok) return wall
  const { local, offset_s } = wall.value
  return good(new Date(offset_s === null ? localToUtc(local, options.zone).utc : local - offset_s * 1000))
}

/** What is odd about a readable local time: the clock skips it, or shows it twice. `null` otherwise. */
export function timeTrouble(text: string, options: TimeOptions): TimeTrouble | null {
  const wall = readWall(text, options.formats)
  if (!wall.ok || wall.value.offset_s !== null) return null
  return localToUtc(wall.value.local, options.zone).trouble
}

function readWall(text: string, formats?: readonly string[]): Read<WallTime> {
  const cell = tidy(text)
  if (cell === null) return bad('blank')
  const readers = formats?.length
    ? formats.map((format) => () => byFormat(cell, format))
    : [() => isoTime(cell)]
  let first: Read<WallTime> | null = null
  for (const reader of readers) {
    const read = reader()
    if (read.ok) {
      const inRange = read.value.local >= earliest && read.value.local < latest
      return inRange ? read : bad(`year is outside ${yearRange.from} to ${yearRange.to}`)
    }
    first ??= read
  }
  return formats && formats.length > 1
    ? bad(`does not follow any of the time formats ${formats.join(' | ')}`)
    : first!
}

function byFormat(cell: string, format: string): Read<WallTime> {
  if (isNumericFormat(format)) return numericTime(cell, format)
  const wall = strptime(cell, format)
  return wall ? good(wall) : bad(`does not follow the time format ${format}`)
}

const plainCount = /^[0-9]+(?:\.[0-9]*)?$/

/** Excel's day 0 as its serial numbers count from March 1900 on; serials before that are refused. */
const excelEpoch = Date.UTC(1899, 11, 30)

function numericTime(cell: string, format: NumericFormat): Read<WallTime> {
  if (!plainCount.test(cell)) return bad('not a number of seconds or days')
  const count = Number(cell)
  if (format === 'epoch_s') return good({ local: Math.round(count * 1000), offset_s: 0 })
  if (format === 'epoch_ms') return good({ local: Math.round(count), offset_s: 0 })
  if (count < 61) return bad('serial date is before March 1900')
  return good({ local: excelEpoch + Math.round(count * 86_400) * 1000, offset_s: null })
}

const iso =
  /^(\d{4})-(\d{1,2})-(\d{1,2})[Tt ](\d{1,2}):(\d{2})(?::(\d{2})(?:[.,](\d{1,9}))?)? ?(?:([Zz])|([+-])(\d{2})(?::?(\d{2}))?)?$/

function isoTime(cell: string): Read<WallTime> {
  const part = iso.exec(cell)
  if (!part)
    return bad(/^\d{4}-\d{1,2}-\d{1,2}$/.test(cell) ? 'a date without a time' : 'not an ISO 8601 time')
  const [year, month, day, hour, minute, second] = part.slice(1, 7).map((piece) => Number(piece ?? 0)) as [
    number,
    number,
    number,
    number,
    number,
    number,
  ]
  if (year < yearRange.from || year > yearRange.to)
    return bad(`year is outside ${yearRange.from} to ${yearRange.to}`)
  if (!dateExists(year, month, day)) return bad(dateReason(year, month, day))
  const midnight = hour === 24 && minute === 0 && second === 0 && !Number(part[7] ?? 0)
  if (hour > 23 && !midnight) return bad('hours must be below 24')
  if (minute > 59) return bad('minutes must be below 60')
  if (second > 59) return bad('seconds must be below 60')
  const ms = Math.floor(Number((part[7] ?? '').padEnd(3, '0').slice(0, 3)))
  const local = Date.UTC(year, month - 1, day, hour, minute, second, ms)
  if (part[8]) return good({ local, offset_s: 0 })
  if (!part[9]) return good({ local, offset_s: null })
  const offset = Number(part[10]) * 3600 + Number(part[11] ?? 0) * 60
  if (offset > 18 * 3600 || Number(part[11] ?? 0) > 59) return bad('offset from UTC is too large')
  return good({ local, offset_s: part[9] === '-' ? -offset : offset })
}

const monthNames = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
]

function dateReason(year: number, month: number, day: number): string {
  const name = monthNames[month - 1]
  return name ? `day ${day} does not exist in ${name} ${year}` : `month ${month} does not exist`
}

/** A day, `YYYY-MM-DD`. Without formats ISO 8601; a time of day behind it is dropped only if a format reads it. */
export function readDate(text: string, formats?: readonly string[]): Read<string> {
  const cell = tidy(text)
  if (cell === null) return bad('blank')
  if (formats?.length) {
    const wall = readWall(cell, formats)
    return wall.ok
      ? good(new Date(wall.value.local).toISOString().slice(0, 10))
      : bad(wall.reason.replace('time format', 'date format'))
  }
  const part = /^(\d{4})-(\d{1,2})-(\d{1,2})$/.exec(cell)
  if (!part) return bad('not an ISO 8601 date')
  const [year, month, day] = [Number(part[1]), Number(part[2]), Number(part[3])]
  if (!dateExists(year, month, day)) return bad(dateReason(year, month, day))
  if (year < yearRange.from || year > yearRange.to)
    return bad(`year is outside ${yearRange.from} to ${yearRange.to}`)
  return good(`${part[1]}-${part[2]!.padStart(2, '0')}-${part[3]!.padStart(2, '0')}`)
}

/** The local day, `YYYY-MM-DD`, of a moment in a zone. */
export function localDate(moment: Date, zone: string): string {
  return new Date(moment.getTime() + zoneOffset(zone, moment.getTime()) * 1000).toISOString().slice(0, 10)
}

export { carriesOffset }
