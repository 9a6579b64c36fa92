const DAY_MS = 86_400_000

/** Days are counted from 1970-01-01, so that they add and compare as numbers. */
export const dayNumber = (text: string): number => Date.parse(`${text.slice(0, 10)}T00:00:00Z`) / DAY_MS

/** `YYYY-MM-DD` of a day number. */
export const dayText = (day: number): string => new Date(day * DAY_MS).toISOString().slice(0, 10)

/**
 * The same day of the month, so many months later. The last day of a month stays the last day (31 January + 6 months is 31 July,
 * 30 June + 1 month is 31 July), and a day that the later month does not have becomes its last.
 */
export function addMonths(day: number, months: number): number {
  const date = new Date(day * DAY_MS)
  const year = date.getUTCFullYear()
  const month = date.getUTCMonth()
  const last = (y: number, m: number): number => new Date(Date.UTC(y, m + 1, 0)).getUTCDate()
  const isLast = date.getUTCDate() === last(year, month)
  const target = last(year, month + months)
  const dayOfMonth = isLast ? target : Math.min(date.getUTCDate(), target)
  return Date.UTC(year, month + months, dayOfMonth) / DAY_MS
}
