import { bad, good, type Read } from './read.ts'
import { tidy } from './text.ts'

const signs: Readonly<Record<string, number>> = {
  '¼': 1 / 4,
  '½': 1 / 2,
  '¾': 3 / 4,
  '⅓': 1 / 3,
  '⅔': 2 / 3,
  '⅕': 1 / 5,
  '⅖': 2 / 5,
  '⅗': 3 / 5,
  '⅘': 4 / 5,
  '⅙': 1 / 6,
  '⅚': 5 / 6,
  '⅛': 1 / 8,
  '⅜': 3 / 8,
  '⅝': 5 / 8,
  '⅞': 7 / 8,
}

const parts: Readonly<Record<string, number>> = {
  half: 2,
  halves: 2,
  third: 3,
  thirds: 3,
  quarter: 4,
  quarters: 4,
  qtr: 4,
  qtrs: 4,
  fourth: 4,
  fourths: 4,
  sixth: 6,
  sixths: 6,
  eighth: 8,
  eighths: 8,
}

const counts: Readonly<Record<string, number>> = {
  a: 1,
  one: 1,
  two: 2,
  three: 3,
  five: 5,
  seven: 7,
  '1': 1,
  '2': 2,
  '3': 3,
  '5': 5,
  '7': 7,
}

const whole = new Set(['full', 'whole', 'all', 'salvo', 'full load', 'whole load', 'entire load', 'f'])

/** Share of a full load, above 0 and at most 1: `1/4`, `¼`, `0.25`, `,25`, `25%`, `quarter`, `three quarters`, `full`, `1`. */
export function readFraction(text: string): Read<number> {
  const cell = tidy(text)?.toLowerCase()
  if (cell === undefined) return bad('blank')
  const value = shareOf(
    cell
      .replace(/[\u2044\u2215]/g, '/')
      .replace(/ ?(load|tank)s?$/, (ending) => (whole.has(cell) ? ending : '')),
  )
  if (value === null) return bad('not a share of a load')
  if (!(value > 0)) return bad('a share of a load is more than 0')
  if (value > 1) return bad('a share of a load is at most 1')
  return good(value)
}

function shareOf(cell: string): number | null {
  if (whole.has(cell)) return 1
  const sign = signs[cell]
  if (sign !== undefined) return sign
  const ratio = /^([0-9]{1,2}) ?\/ ?([0-9]{1,2})$/.exec(cell)
  if (ratio) return Number(ratio[2]) === 0 ? null : Number(ratio[1]) / Number(ratio[2])
  const percent = /^([0-9]{1,3}(?:[.,][0-9]*)?) ?(?:%|pct|percent)$/.exec(cell)
  if (percent) return Number(percent[1]!.replace(',', '.')) / 100
  if (/^(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)$/.test(cell)) return Number(cell.replace(',', '.'))
  const words = /^(?:([a-z0-9]+)[ -])?([a-z]+)$/.exec(cell)
  const part = words && parts[words[2]!]
  const count = words?.[1] === undefined ? 1 : counts[words[1]]
  return part && count ? count / part : null
}
