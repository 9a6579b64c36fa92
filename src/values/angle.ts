import type { Decimal } from './number.ts'
import { bad, good, type Read } from './read.ts'
import { tidy } from './text.ts'

export type Axis = 'lat' | 'lon'

export interface AngleOptions {
  axis: Axis
  decimal?: Decimal
}

const letters = { lat: 'NSns', lon: 'EWew' } as const
export const angleLimits = { lat: 90, lon: 180 } as const

const labels = {
  lat: '(?:[Ll][Aa][Tt](?:[Ii][Tt][Uu][Dd][Ee])?[.:=]?)?',
  lon: '(?:[Ll][Oo][Nn](?:[Gg](?:[Ii][Tt][Uu][Dd][Ee])?)?[.:=]?)?',
}
const degreeSign = '(?:[°º˚*]|[Dd][Ee][Gg][.]?|[dD])'
const minuteSign = "(?:['’‘′`´]|[Mm][Ii][Nn][.]?)"
const secondSign = `(?:["”“″]|''|’’|′′|[Ss][Ee][Cc][.]?)`

/** Below 60, or a decimal 60 that only rounding can have made (`60.0`), which carries. */
const sixtiethDecimal = '(?:[0-5]?[0-9][.][0-9]*|60[.]0*)'
const sixtiethWhole = '[0-5]?[0-9]'

/** Whole degrees below the limit, and the limit itself, after which only zeros may follow. */
const below = { lat: '0?[0-8]?[0-9]', lon: '(?:1[0-7][0-9]|0?[0-9]?[0-9])' } as const
const atLimit = { lat: '0?90', lon: '180' } as const

/**
 * Degrees; degrees and decimal minutes; degrees, minutes and seconds; all within the limits of the axis. Only the
 * last part may have decimals. `space` is what may stand between the parts.
 */
function sizePattern(axis: Axis, space: string): string {
  const between = (sign: string) =>
    `(?:${space}(?:${sign}${space}-?|[:-])${space}|${space.replace(/[?*]$/, '+')}-?)`
  const parts = (
    degrees: string,
    decimals: string,
    minuteDecimal: string,
    minuteWhole: string,
    second: string,
  ) => {
    const seconds = `${between(minuteSign)}${second}(?:${space}${secondSign})?`
    const minutes = `(?:${minuteDecimal}(?:${space}${minuteSign})?|${minuteWhole}(?:${seconds}|${space}${minuteSign})?)`
    return `${degrees}(?:${decimals}(?:${space}${degreeSign})?|${between(degreeSign)}${minutes}|${space}${degreeSign})?`
  }
  const inside = parts(
    below[axis],
    '[.][0-9]+',
    sixtiethDecimal,
    sixtiethWhole,
    `(?:${sixtiethDecimal}|${sixtiethWhole})`,
  )
  const edge = parts(atLimit[axis], '[.]0+', '00?[.]0*', '00?', '00?(?:[.]0*)?')
  return `(?:${inside}|${edge})`
}

/**
 * A whole coordinate: one hemisphere letter, before or behind, or none; a sign that does not contradict it. Works in
 * JavaScript and in RE2, and captures nothing, so that a scan is all it costs.
 */
export function anglePattern(axis: Axis, space: string = ' ?'): string {
  const [positive, negative] = [
    `[${letters[axis][0]}${letters[axis][2]}]`,
    `[${letters[axis][1]}${letters[axis][3]}]`,
  ]
  const size = sizePattern(axis, space)
  const signed = (letter: string, sign: string) =>
    `${letter}[.]?${space}${sign}?${space}${size}|${sign}?${space}${size}${space}-?${space}${letter}[.]?`
  const minus = '[−–-]'
  const all = [`(?:[+]|${minus})?${space}${size}`, signed(positive, '[+]'), signed(negative, minus)]
  return `^${space}${labels[axis]}${space}(?:${all.join('|')})${space}$`
}

/** Digits run together as in `4300.6N` and `1150036W`: degrees, minutes, seconds, with one hemisphere letter. */
export function compactPattern(axis: Axis, space: string = ' ?'): string {
  const letter = `[${letters[axis]}]`
  const degrees = axis === 'lat' ? '(?:[0-8][0-9])' : '(?:0[0-9][0-9]|1[0-7][0-9])'
  const digits = `${degrees}[0-5][0-9](?:[0-5][0-9])?(?:[.][0-9]+)?`
  return `^${space}(?:${letter}${space}${digits}|${digits}${space}${letter})${space}$`
}

/** Of a text that follows one of the patterns: south or west. */
export const negativePattern = '^[^0-9]*[SWsw−–-]|[SWsw][^0-9A-Za-z]*$'

/** Of a text that follows `anglePattern`: degrees, minutes, seconds, the latter two perhaps empty. */
export const partsPattern = '([0-9][0-9.]*)[^0-9]*([0-9.]*)[^0-9]*([0-9.]*)'

/** Of a text that follows `compactPattern`: the same, run together. */
export const compactParts = (axis: Axis): string =>
  `([0-9]{${axis === 'lat' ? 2 : 3}})([0-9]{2}(?:[.][0-9]+)?)([0-9.]*)`

const axes = ['lat', 'lon'] as const
const perAxis = <T>(make: (axis: Axis) => T): Record<Axis, T> => ({ lat: make(axes[0]), lon: make(axes[1]) })
const patterns = perAxis((axis) => new RegExp(anglePattern(axis)))
const compacts = perAxis((axis) => new RegExp(compactPattern(axis)))
const compactDigits = perAxis((axis) => new RegExp(compactParts(axis)))
const negative = new RegExp(negativePattern)
const partDigits = new RegExp(partsPattern)

/**
 * Latitude or longitude in decimal degrees, south and west negative, from decimal degrees, degrees and decimal
 * minutes, or degrees, minutes and seconds, with a hemisphere letter or a sign. Minutes and seconds stay below
 * 60, except that a decimal 60 (`60.0`, as rounding leaves it) carries; a whole 60 is refused.
 */
export function readAngle(text: string, options: AngleOptions): Read<number> {
  const tidied = tidy(text)
  if (tidied === null) return bad('blank')
  const { axis } = options
  const cell = options.decimal === ',' ? tidied.replaceAll(',', '.') : tidied
  const digits = patterns[axis].test(cell)
    ? partDigits
    : compacts[axis].test(cell)
      ? compactDigits[axis]
      : null
  if (digits === null) return bad(angleReason(cell, axis))
  const [, degrees, minutes, seconds] = digits.exec(cell)!
  const size = Number(degrees) + Number(minutes || 0) / 60 + Number(seconds || 0) / 3600
  return good(negative.test(cell) ? 0 - size : size)
}

/** Says what is wrong with a text that follows no notation. */
function angleReason(cell: string, axis: Axis): string {
  const parts = cell.match(/[0-9]+(?:[.][0-9]*)?/g) ?? []
  const name = axis === 'lat' ? 'latitude' : 'longitude'
  if (/^[^0-9]*[EWew]|[EWew][^0-9]*$/.test(cell) && axis === 'lat')
    return 'a longitude where a latitude belongs'
  if (/^[^0-9]*[NSns]|[NSns][^0-9]*$/.test(cell) && axis === 'lon')
    return 'a latitude where a longitude belongs'
  const sign = /^[^0-9]*[−–-]/.test(cell) ? '-' : /^[^0-9]*[+]/.test(cell) ? '+' : ''
  const hemisphere = cell.match(axis === 'lat' ? /^[NSns]|[NSns]$/g : /^[EWew]|[EWew]$/g) ?? []
  if (hemisphere.length > 1) return 'two hemisphere letters'
  if (sign && hemisphere.length && (sign === '-') !== /[SW]/i.test(hemisphere[0]!))
    return 'sign and hemisphere letter contradict each other'
  if (parts.length > 1 && parts.slice(0, -1).some((part) => part.includes('.')))
    return 'only the last part may have decimals'
  if (parts.length > 1 && Number(parts[1]) >= 60) return 'minutes must be below 60'
  if (parts.length > 2 && Number(parts[2]) >= 60) return 'seconds must be below 60'
  if (parts.length && parts.length < 4 && Number(parts[0]) >= angleLimits[axis] && Number(parts[0]) < 1000)
    return `${name} is beyond ${angleLimits[axis]} degrees`
  return `not a ${name}`
}
