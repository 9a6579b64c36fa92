import type { Decimal } from './number.ts'
import { bad, good, type Read } from './read.ts'
import { tidy } from './text.ts'

export type Axis = 'lat' | 'lon'

export interface AngleOptions {
  axis: Axis
  decimal?: Decimal
}

const letters = { lat: 'NSns', lon: 'EWew' } as const
const limits = { lat: 90, lon: 180 } as const
const degreeSign = '(?:[°º˚*]|deg[.]?|[dD])'
const minuteSign = "(?:['’‘′`´]|min[.]?)"
const secondSign = `(?:["”“″]|''|’’|′′|sec[.]?)`
const gap = '[ :-]'
/** A number without `5.`-style trailing points in whole degrees; minutes and seconds may have them. */
const part = '[0-9]{1,2}(?:[.][0-9]*)?'

/**
 * One coordinate in degrees; degrees and minutes; degrees, minutes and seconds. Six groups: hemisphere before,
 * sign, degrees, minutes, seconds, hemisphere behind. Works in JavaScript and in RE2.
 */
export function anglePattern(axis: Axis): string {
  const hemisphere = `[${letters[axis]}]`
  const minutes = `(?: ?(?:${degreeSign}|${gap}) ?-?(${part})`
  const seconds = `(?: ?(?:${minuteSign}|${gap}) ?-?(${part}) ?${secondSign}?)?`
  return `^(${hemisphere}?)[.]? ?([+−–-]?) ?([0-9]{1,3}(?:[.][0-9]+)?)${minutes} ?${minuteSign}?${seconds})? ?${degreeSign}?[ -]?(${hemisphere}?)[.]?$`
}

/** Digits run together as in `4300.6N` and `1150036W`: degrees, minutes, whole seconds; a letter is required. */
export function compactPattern(axis: Axis): string {
  const hemisphere = `[${letters[axis]}]`
  const degrees = axis === 'lat' ? '[0-9]{2}' : '[0-9]{3}'
  return `^(${hemisphere}?) ?(${degrees})([0-9]{2}(?:[.][0-9]+)?|[0-9]{2})([0-9]{2}(?:[.][0-9]+)?)? ?(${hemisphere}?)$`
}

const patterns = { lat: new RegExp(anglePattern('lat')), lon: new RegExp(anglePattern('lon')) }
const compacts = { lat: new RegExp(compactPattern('lat')), lon: new RegExp(compactPattern('lon')) }

/**
 * Latitude or longitude in decimal degrees, south and west negative, from decimal degrees, degrees and decimal
 * minutes, or degrees, minutes and seconds, with a hemisphere letter or a sign. Minutes and seconds stay below
 * 60, except that a decimal 60 (`60.0`, as rounding leaves it) carries; a whole 60 is refused.
 */
export function readAngle(text: string, options: AngleOptions): Read<number> {
  const tidied = tidy(text)
  if (tidied === null) return bad('blank')
  const cell = options.decimal === ',' ? tidied.replaceAll(',', '.') : tidied
  const compact = compacts[options.axis].exec(cell)
  if (compact && (compact[1] !== '') !== (compact[5] !== '')) {
    return assemble(compact[1]! + compact[5]!, '', compact[2]!, compact[3], compact[4], options.axis)
  }
  const match = patterns[options.axis].exec(cell)
  if (!match) return bad(options.axis === 'lat' ? 'not a latitude' : 'not a longitude')
  return assemble(match[1]! + match[6]!, match[2]!, match[3]!, match[4], match[5], options.axis)
}

function assemble(
  hemisphere: string,
  sign: string,
  degrees: string,
  minutes: string | undefined,
  seconds: string | undefined,
  axis: Axis,
): Read<number> {
  if (hemisphere.length > 1) return bad('two hemisphere letters')
  const negative = sign !== '' && sign !== '+'
  const southOrWest = /[SWsw]/.test(hemisphere)
  if (hemisphere !== '' && ((negative && !southOrWest) || (sign === '+' && southOrWest))) {
    return bad('sign and hemisphere letter contradict each other')
  }
  if (minutes !== undefined && degrees.includes('.')) return bad('decimal degrees with minutes')
  if (seconds !== undefined && minutes!.includes('.')) return bad('decimal minutes with seconds')
  if (minutes !== undefined && !sixtieth(minutes)) return bad('minutes must be below 60')
  if (seconds !== undefined && !sixtieth(seconds)) return bad('seconds must be below 60')
  const size = Number(degrees) + Number(minutes ?? 0) / 60 + Number(seconds ?? 0) / 3600
  if (size > limits[axis])
    return bad(`${axis === 'lat' ? 'latitude' : 'longitude'} is beyond ${limits[axis]} degrees`)
  return good(negative || southOrWest ? 0 - size : size)
}

/** Below 60, or a decimal 60 that only rounding can have made. */
function sixtieth(text: string): boolean {
  const value = Number(text)
  return value < 60 || (value === 60 && text.includes('.'))
}
