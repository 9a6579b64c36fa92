import { readAngle } from './angle.ts'
import type { Decimal } from './number.ts'
import { bad, good, type Read } from './read.ts'
import { tidy } from './text.ts'

export interface Position {
  /** Degrees north, WGS 84. */
  latitude: number
  /** Degrees east, WGS 84. */
  longitude: number
}

const half = '(?:deg|min|sec|[^NSEWnsew,;/])'
const one = '[^ ]+'

/**
 * Ways to write both coordinates in one cell, tried in order; the first group is the latitude's text unless
 * `swapped`. Without letters the latitude comes first. Works in JavaScript and in RE2.
 */
export const pairPatterns: readonly { pattern: string; swapped?: true }[] = [
  { pattern: `^([NSns]${half}*)[,;/]? ?([EWew]${half}*)$` },
  { pattern: `^(${half}*[NSns])[,;/]? ?(${half}*[EWew])$` },
  { pattern: `^([EWew]${half}*)[,;/]? ?([NSns]${half}*)$`, swapped: true },
  { pattern: `^(${half}*[EWew])[,;/]? ?(${half}*[NSns])$`, swapped: true },
  { pattern: '^([^,;/]+)[,;/] ?([^,;/]+)$' },
  { pattern: `^(${one}) (${one})$` },
  { pattern: `^(${one} ${one}) (${one} ${one})$` },
  { pattern: `^(${one} ${one} ${one}) (${one} ${one} ${one})$` },
]

const compiled = pairPatterns.map(({ pattern, swapped }) => ({ pattern: new RegExp(pattern), swapped }))

/** Under a decimal comma, pairs are parted by `;`, `/` or letters, and commas become points. */
export function pointed(cell: string, decimal: Decimal | undefined): string {
  return decimal === ',' ? cell.replace(/,(?=[0-9])/g, '.').replace(/, /g, '; ') : cell
}

/** Both coordinates of one cell, in the notations that `readAngle` reads. */
export function readPair(text: string, options: { decimal?: Decimal } = {}): Read<Position> {
  const tidied = tidy(text)
  if (tidied === null) return bad('blank')
  const cell = pointed(tidied, options.decimal).replace(/ ([,;/])/g, '$1')
  for (const { pattern, swapped } of compiled) {
    const match = pattern.exec(cell)
    if (!match) continue
    const [first, second] = [match[1]!.trim(), match[2]!.trim()]
    const latitude = readAngle(swapped ? second : first, { axis: 'lat' })
    const longitude = readAngle(swapped ? first : second, { axis: 'lon' })
    if (!latitude.ok) return latitude
    if (!longitude.ok) return longitude
    return good({ latitude: latitude.value, longitude: longitude.value })
  }
  return bad('not a latitude and longitude')
}
