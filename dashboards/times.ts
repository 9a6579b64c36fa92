const formats = new Map<string, Intl.DateTimeFormat>()

function formatIn(zone: string): Intl.DateTimeFormat {
  let format = formats.get(zone)
  if (!format) {
    format = new Intl.DateTimeFormat('en-CA', {
      timeZone: zone,
      year: 'numeric',
      month: '2-digit',
      day: '2-digit',
      hour: '2-digit',
      minute: '2-digit',
      second: '2-digit',
      hourCycle: 'h23',
    })
    formats.set(zone, format)
  }
  return format
}

interface Clock {
  day: string
  hour: number
  text: string
}

/** An ISO time as the wall clock of a zone shows it. Null for a text that is no time. */
export function clockIn(iso: string, zone: string): Clock | null {
  const moment = new Date(iso)
  if (Number.isNaN(moment.getTime())) return null
  const parts = new Map(
    formatIn(zone)
      .formatToParts(moment)
      .map((part) => [part.type, part.value]),
  )
  const day = `${parts.get('year')}-${parts.get('month')}-${parts.get('day')}`
  const minute = `${parts.get('hour')}:${parts.get('minute')}`
  const seconds = parts.get('second') === '00' ? '' : `:${parts.get('second')}`
  return { day, hour: Number(parts.get('hour')), text: `${day} ${minute}${seconds}` }
}

/** `2026-07-04 12:30`, in the zone; an em dash when it is not known. */
export function timeText(iso: string | null | undefined, zone: string): string {
  return iso ? (clockIn(iso, zone)?.text ?? iso) : '—'
}

/** `4 July` or, across years, `4 July 2026`, of an operating day. */
export function dayText(day: string | null | undefined, withYear = false): string {
  if (!day) return '—'
  const moment = new Date(`${day.slice(0, 10)}T00:00:00Z`)
  if (Number.isNaN(moment.getTime())) return day
  return new Intl.DateTimeFormat('en-GB', {
    timeZone: 'UTC',
    day: 'numeric',
    month: 'long',
    ...(withYear ? { year: 'numeric' as const } : {}),
  }).format(moment)
}
