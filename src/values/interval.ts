import { readNumber } from './number.ts'
import { bad, good, type Read } from './read.ts'
import { tidy } from './text.ts'

export type IntervalLength = { months: number } | { count: number }

/** An interval of a task: a plain number (cycles, hours or days by its counter), or months: `6mo`, `6 months`, `1y`. */
export function readDurationMonthsOrNumber(text: string): Read<IntervalLength> {
  const cell = tidy(text)?.toLowerCase()
  if (cell === undefined) return bad('blank')
  const calendar = /^([0-9]{1,3}) ?(mo|mos|month|months|m|y|yr|yrs|year|years)$/.exec(cell)
  if (calendar) {
    const months = Number(calendar[1]) * (calendar[2]!.startsWith('y') ? 12 : 1)
    return months > 0 ? good({ months }) : bad('an interval is more than 0')
  }
  const number = readNumber(cell.replace(/ ?(d|day|days|h|hr|hrs|hours|cycles|openings)$/, ''))
  if (!number.ok) return bad('not a number or a number of months (6mo)')
  return number.value >= 0 ? good({ count: number.value }) : bad('an interval is not negative')
}
