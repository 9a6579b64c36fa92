/** Times are whole seconds since 1970 in UTC; local times exist only in what people wrote. */
export const MINUTE = 60
export const HOUR = 3600
export const DAY = 86_400

const formats = new Map<string, Intl.DateTimeFormat>()
const offsets = new Map<string, number>()

/** Seconds to add to UTC to get local time; zones change on the hour, so one answer an hour is enough. */
export function zoneOffset(zone: string, at: number): number {
  if (zone === 'UTC') return 0
  const hour = Math.floor(at / HOUR)
  const key = `${zone} ${hour}`
  const known = offsets.get(key)
  if (known !== undefined) return known
  let format = formats.get(zone)
  if (!format) {
    format = new Intl.DateTimeFormat('en-US', {
      timeZone: zone,
      hourCycle: 'h23',
      year: 'numeric',
      month: 'numeric',
      day: 'numeric',
      hour: 'numeric',
    })
    formats.set(zone, format)
  }
  const part: Record<string, number> = {}
  for (const { type, value } of format.formatToParts(hour * HOUR * 1000)) part[type] = Number(value)
  const local = Date.UTC(part.year!, part.month! - 1, part.day!, part.hour!) / 1000
  const offset = local - hour * HOUR
  offsets.set(key, offset)
  return offset
}

/** UTC moment of a local wall-clock time given as if it were UTC. */
export function fromLocal(zone: string, local: number): number {
  const guess = local - zoneOffset(zone, local)
  return local - zoneOffset(zone, guess)
}

const months = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec']

/** Writes a moment in a zone with the strptime letters `Y m d b H M S y`. */
export function write(at: number, zone: string, pattern: string): string {
  const local = new Date((at + zoneOffset(zone, at)) * 1000)
  const two = (value: number): string => String(value).padStart(2, '0')
  return pattern.replace(/%(.)/g, (_, letter: string) => {
    if (letter === 'Y') return String(local.getUTCFullYear())
    if (letter === 'y') return two(local.getUTCFullYear() % 100)
    if (letter === 'm') return two(local.getUTCMonth() + 1)
    if (letter === 'b') return months[local.getUTCMonth()]!
    if (letter === 'd') return two(local.getUTCDate())
    if (letter === 'H') return two(local.getUTCHours())
    if (letter === 'M') return two(local.getUTCMinutes())
    return two(local.getUTCSeconds())
  })
}

/** ISO 8601 in UTC to the second. */
export const iso = (at: number): string => new Date(at * 1000).toISOString().replace('.000Z', 'Z')

/** Local date in a zone, `2026-07-04`. */
export const dayOf = (at: number, zone: string): string => write(at, zone, '%Y-%m-%d')

/** Midnight UTC of a date. */
export const dateToSeconds = (day: string): number => Date.parse(`${day}T00:00:00Z`) / 1000
