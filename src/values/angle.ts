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
const sixtiethDecimal = '[0-5]?[0-9][.][0-9]*|60[.]0*'
const sixtiethWhole = '[0-5]?[0-9]'

/**
 * One coordinate in degrees; degrees and minutes; degrees, minutes and seconds. Groups: hemisphere before, sign,
 * decimal degrees, whole degrees, decimal minutes, whole minutes, seconds, hemisphere behind. Only the last part
 * may have decimals. Works in JavaScript and in RE2; `space` is what may stand between the parts.
 */
export function anglePattern(axis: Axis, space: string = ' ?'): string {
  const hemisphere = `[${letters[axis]}]`
  const between = (sign: string) =>
    `(?:${space}(?:${sign}${space}-?|[:-])${space}|${space.replace(/[?*]$/, '+')}-?)`
  const seconds = `${between(minuteSign)}(${sixtiethDecimal}|${sixtiethWhole})(?:${space}${secondSign})?`
  const minutes = `(${sixtiethDecimal})(?:${space}${minuteSign})?|(${sixtiethWhole})(?:${seconds}|${space}${minuteSign})?`
  const size = `(?:([0-9]{1,3}[.][0-9]+)(?:${space}${degreeSign})?|([0-9]{1,3})(?:${between(degreeSign)}(?:${minutes})|${space}${degreeSign})?)`
  return `^${space}${labels[axis]}${space}(${hemisphere}?)[.]?${space}([+−–-]?)${space}${size}(?:${space}-?${space}(${hemisphere})[.]?)?${space}$`
}

/** Digits run together as in `4300.6N` and `1150036W`: degrees, minutes, seconds; a letter is required. */
export function compactPattern(axis: Axis, space: string = ' ?'): string {
  const hemisphere = `[${letters[axis]}]`
  const degrees = axis === 'lat' ? '[0-9]{2}' : '[01][0-9]{2}'
  return `^${space}(${hemisphere}?)${space}(${degrees})(?:([0-5][0-9](?:[.][0-9]+)?)|([0-5][0-9])([0-5][0-9](?:[.][0-9]+)?))${space}(${hemisphere}?)${space}$`
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
  const { axis } = options
  const cell = options.decimal === ',' ? tidied.replaceAll(',', '.') : tidied
  const compact = compacts[axis].exec(cell)
  if (compact) {
    const [, before, degrees, minutes, wholeMinutes, seconds, behind] = compact.map((group) => group ?? '')
    if ((before === '') === (behind === '')) return bad('digits run together need one hemisphere letter')
    return inRange(before! + behind!, '', sum(degrees!, minutes! + wholeMinutes!, seconds!), axis)
  }
  const match = patterns[axis].exec(cell)
  if (!match) return bad(angleReason(cell, axis))
  const [, before, sign, decimal, whole, minutes, wholeMinutes, seconds, behind] = match.map(
    (group) => group ?? '',
  )
  return inRange(before! + behind!, sign!, sum(decimal! + whole!, minutes! + wholeMinutes!, seconds!), axis)
}

const sum = (degrees: string, minutes: string, seconds: string): number =>
  Number(degrees) + Number(minutes || 0) / 60 + Number(seconds || 0) / 3600

function inRange(hemisphere: string, sign: string, size: number, axis: Axis): Read<number> {
  if (hemisphere.length > 1) return bad('two hemisphere letters')
  const negative = sign !== '' && sign !== '+'
  const southOrWest = /[SWsw]/.test(hemisphere)
  if (hemisphere !== '' && sign !== '' && negative !== southOrWest)
    return bad('sign and hemisphere letter contradict each other')
  if (size > angleLimits[axis])
    return bad(`${axis === 'lat' ? 'latitude' : 'longitude'} is beyond ${angleLimits[axis]} degrees`)
  return good(negative || southOrWest ? 0 - size : size)
}

/** Says what is wrong with a text that follows no notation. */
function angleReason(cell: string, axis: Axis): string {
  const parts = cell.match(/[0-9]+(?:[.][0-9]*)?/g) ?? []
  const name = axis === 'lat' ? 'latitude' : 'longitude'
  if (/^[^0-9]*[EWew]|[EWew][^0-9]*$/.test(cell) && axis === 'lat')
    return 'a longitude where a latitude belongs'
  if (/^[^0-9]*[NSns]|[NSns][^0-9]*$/.test(cell) && axis === 'lon')
    return 'a latitude where a longitude belongs'
  if (parts.length > 1 && parts.slice(0, -1).some((part) => part.includes('.')))
    return 'only the last part may have decimals'
  if (parts.length > 1 && Number(parts[1]) >= 60) return 'minutes must be below 60'
  if (parts.length > 2 && Number(parts[2]) >= 60) return 'seconds must be below 60'
  return `not a ${name}`
}
