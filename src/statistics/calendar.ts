/** Days of the year that a calendar can have. */
export const YEAR = 366

/** Day of year, 0 for 1 January, of a day number. */
export function dayOfYear(day: number): number {
  const date = new Date(day * 86_400_000)
  return day - Date.UTC(date.getUTCFullYear(), 0, 1) / 86_400_000
}

/** Season number of a day: years counted from `cut`. */
export function seasonOf(day: number, cut: number): number {
  return new Date((day - cut) * 86_400_000).getUTCFullYear()
}
