/** A wall-clock reading: milliseconds as if it were UTC, and the offset in seconds if the text carries one. */
export interface WallTime {
  local: number
  offset_s: number | null
}

const months = [
  'january',
  'february',
  'march',
  'april',
  'may',
  'june',
  'july',
  'august',
  'september',
  'october',
  'november',
  'december',
]
const weekdays = ['sunday', 'monday', 'tuesday', 'wednesday', 'thursday', 'friday', 'saturday']

const abbreviated = (names: readonly string[]) => names.map((name) => name.slice(0, 3))

/** Greatest digits of each number specifier. */
const digits: Readonly<Record<string, number>> = {
  d: 2,
  m: 2,
  Y: 4,
  y: 2,
  H: 2,
  I: 2,
  M: 2,
  S: 2,
  f: 6,
  j: 3,
}
const names: Readonly<Record<string, readonly string[]>> = {
  b: abbreviated(months),
  B: months,
  a: abbreviated(weekdays),
  A: weekdays,
  p: ['am', 'pm'],
}

export type Piece = { literal: string } | { specifier: string }

/**
 * A pattern split into its pieces. Throws an Error that names the piece which cannot be used, so that a profile
 * is refused before any row is read.
 */
export function timePattern(format: string): Piece[] {
  const pieces: Piece[] = []
  for (let i = 0; i < format.length; i++) {
    if (format[i] !== '%') {
      pieces.push({ literal: format[i]! })
      continue
    }
    i += format[i + 1] === '-' ? 2 : 1
    const letter = format[i] ?? ''
    if (letter === '%') pieces.push({ literal: '%' })
    else if (letter in digits || letter in names || letter === 'z') pieces.push({ specifier: letter })
    else
      throw new Error(
        `time format '${format}': '%${letter}' cannot be read; use %Y %y %m %d %b %B %j %H %I %M %S %f %p %z`,
      )
  }
  return pieces
}

/**
 * Where the hour of a time of day written in one run of digits stands (`%H%M`), with no other number touching it; -1
 * when there is none. Such a run may lack its leading zero: `905` is 9:05, as crews and spreadsheets write it.
 */
export function runningHour(pieces: readonly Piece[]): number {
  const isNumber = (piece: Piece | undefined) =>
    piece !== undefined && ('specifier' in piece ? piece.specifier in digits : /[0-9]/.test(piece.literal))
  return pieces.findIndex(
    (piece, i) =>
      'specifier' in piece &&
      (piece.specifier === 'H' || piece.specifier === 'I') &&
      isSpecifier(pieces[i + 1], 'M') &&
      !isNumber(pieces[i - 1]) &&
      !isNumber(pieces[i + 2]),
  )
}

function isSpecifier(piece: Piece | undefined, letter: string): boolean {
  return piece !== undefined && 'specifier' in piece && piece.specifier === letter
}

/** True if texts of this format say their own offset: `%z`, or a `Z` as its last character (UTC). */
export const carriesOffset = (format: string): boolean => /%z/.test(format) || isZulu(format)

/** True if the format ends in a bare `Z`, which stands for UTC as it does in aviation. */
export const isZulu = (format: string): boolean => /(^|[^%-])Z$/.test(format) && !/%z/.test(format)

/**
 * Reads text by a strptime pattern, with the meaning DuckDB gives it: numbers take as many digits as fit, names
 * in any letter case, two-digit years 69 to 99 are 19xx, a weekday name is not checked against the date. Stricter
 * than DuckDB in two points: `%Y` takes four digits and `%y` two, so that `26` is never the year 26; and a time in one
 * run of digits has three or four of them, the last two its minutes (see `runningHour`).
 * Returns `null` if the text does not follow the pattern or names no date.
 */
export function strptime(text: string, format: string): WallTime | null {
  const read = new Map<string, number>()
  let at = 0
  const pieces = timePattern(format)
  const running = runningHour(pieces)
  for (const [i, piece] of pieces.entries()) {
    if ('literal' in piece) {
      if (text[at] !== piece.literal) return null
      at += 1
      continue
    }
    const matched =
      i === running ? readRunningHour(text.slice(at)) : readPiece(piece.specifier, text.slice(at))
    if (matched === null) return null
    read.set(piece.specifier, matched.value)
    at += matched.length
  }
  return at === text.length ? assemble(read, isZulu(format)) : null
}

function readPiece(specifier: string, rest: string): { value: number; length: number } | null {
  if (specifier === 'z') {
    const offset = /^([+-])(\d{2})(?::?(\d{2}))?/.exec(rest)
    if (!offset) return null
    const seconds = Number(offset[2]) * 3600 + Number(offset[3] ?? 0) * 60
    return { value: offset[1] === '-' ? -seconds : seconds, length: offset[0].length }
  }
  const words = names[specifier]
  if (words) {
    const index = words.findIndex((word) => rest.toLowerCase().startsWith(word))
    return index < 0 ? null : { value: index, length: words[index]!.length }
  }
  const least = specifier === 'Y' ? 4 : specifier === 'y' ? 2 : 1
  const run = new RegExp(`^[0-9]{${least},${digits[specifier]}}`).exec(rest)
  if (!run) return null
  const value = specifier === 'f' ? Number(run[0].padEnd(6, '0')) : Number(run[0])
  return { value, length: run[0].length }
}

function readRunningHour(rest: string): { value: number; length: number } | null {
  const run = /^[0-9]+/.exec(rest)?.[0] ?? ''
  if (run.length !== 3 && run.length !== 4) return null
  return { value: Number(run.slice(0, -2)), length: run.length - 2 }
}

function assemble(read: ReadonlyMap<string, number>, zulu: boolean): WallTime | null {
  const twoDigits = read.get('y')
  const year = read.get('Y') ?? (twoDigits === undefined ? 1900 : twoDigits + (twoDigits >= 69 ? 1900 : 2000))
  const dayOfYear = read.get('j')
  const month = dayOfYear === undefined ? (read.get('m') ?? (read.get('b') ?? read.get('B') ?? 0) + 1) : 1
  const day = dayOfYear ?? read.get('d') ?? 1
  const hour = hourOf(read)
  const minute = read.get('M') ?? 0
  const second = read.get('S') ?? 0
  if (hour === null || minute > 59 || second > 60 || year < 1900 || year > 2099) return null
  if (dayOfYear === undefined ? !dateExists(year, month, day) : day < 1 || day > daysInYear(year)) return null
  const local = Date.UTC(year, month - 1, day, hour, minute, second) + Math.floor((read.get('f') ?? 0) / 1000)
  return { local, offset_s: zulu ? 0 : (read.get('z') ?? null) }
}

function hourOf(read: ReadonlyMap<string, number>): number | null {
  const twelve = read.get('I')
  const half = read.get('p')
  if (twelve !== undefined) return twelve < 1 || twelve > 12 ? null : (twelve % 12) + (half === 1 ? 12 : 0)
  const hour = read.get('H') ?? 0
  return hour > 23 ? null : hour
}

const daysInYear = (year: number): number => (dateExists(year, 2, 29) ? 366 : 365)

/** True for a day of the Gregorian calendar. */
export function dateExists(year: number, month: number, day: number): boolean {
  return month >= 1 && month <= 12 && day >= 1 && day <= new Date(Date.UTC(year, month, 0)).getUTCDate()
}
