import * as mgrsLibrary from 'mgrs'
import { type Decimal, readNumber } from './number.ts'
import { type Position, readPair } from './pair.ts'
import { bad, good, type Read } from './read.ts'
import { tidy } from './text.ts'
import { fromUtm, toUtm } from './utm.ts'

/** The package is CommonJS to Node and an ES module to a bundler: its functions are one level apart. */
const mgrs = (mgrsLibrary as { default?: typeof mgrsLibrary }).default ?? mgrsLibrary

const bands = 'CDEFGHJKLMNPQRSTUVWX'

/** Southern edge of a latitude band, degrees. */
const bandSouth = (band: string): number => bands.indexOf(band) * 8 - 80
const bandNorth = (band: string): number => (band === 'X' ? 84 : bandSouth(band) + 8)

/**
 * A position in one cell, in any notation: decimal degrees, degrees and minutes, degrees-minutes-seconds, UTM
 * (`11T 500000 4761155`) or MGRS (`11TNH0000061155`). WGS 84.
 */
export function readPosition(text: string, options: { decimal?: Decimal } = {}): Read<Position> {
  const cell = tidy(text)
  if (cell === null) return bad('blank')
  const grid = readMgrs(cell)
  if (grid) return grid
  const utm = readUtm(cell)
  if (utm) return utm
  return readPair(cell, options)
}

/**
 * MGRS to the centre of the named square, since the text truncates and the place may be anywhere inside. A square
 * coarser than 1 km is refused: it cannot place a drop. `null` if the text is not MGRS at all.
 */
export function readMgrs(text: string): Read<Position> | null {
  const compact = text
    .toUpperCase()
    .replace(/^MGRS:? ?/, '')
    .replace(/ /g, '')
  const match = /^([0-9]{1,2}[C-HJ-NP-X])([A-HJ-NP-Z]{2})([0-9]*)$/.exec(compact)
  if (!match) return null
  if (match[3]!.length % 2 !== 0) return bad('MGRS needs as many digits for the easting as for the northing')
  if (match[3]!.length > 10) return bad('MGRS has more than ten digits')
  if (match[3]!.length < 4) return bad('MGRS square is coarser than 1 km')
  return mgrsCentre(compact)
}

/** Centre of an MGRS square of any size. The letters are resolved by the library, the projection by our own series. */
export function mgrsCentre(compact: string): Read<Position> {
  const zone = Number.parseInt(compact, 10)
  const band = /[A-Z]/.exec(compact)![0]
  if (zone < 1 || zone > 60) return bad('UTM zone is not between 1 and 60')
  const cell = 10 ** (5 - (compact.replace(/^[0-9]+/, '').length - 3) / 2)
  try {
    const [west, south] = mgrs.inverse(compact)
    const corner = toUtm(south, west, zone)
    const snap = (metres: number) => Math.round(metres / cell) * cell + cell / 2
    const centre = fromUtm(zone, band < 'N', snap(corner.easting), snap(corner.northing))
    if (
      cell <= 1000 &&
      (centre.latitude < bandSouth(band) - 0.02 || centre.latitude > bandNorth(band) + 0.02)
    )
      return bad('MGRS square is not in its band')
    return good(centre)
  } catch {
    return bad('MGRS square does not exist')
  }
}

/**
 * UTM: zone with its latitude band, or with N or S for the hemisphere, then easting and northing in metres. `S` is
 * both a band (32° to 40° north) and a hemisphere: it is the band if the northing lies in it. `null` if not UTM.
 */
export function readUtm(text: string): Read<Position> | null {
  const match =
    /^(?:UTM:? ?)?(?:ZONE ?)?([0-9]{1,2}) ?([C-HJ-NP-X])[ ,]+([0-9][0-9,. ]*?) ?(?:M?E)?[ ,;/]+([0-9][0-9,. ]*?) ?(?:M?N)?$/i.exec(
      text,
    )
  if (!match) return null
  const zone = Number(match[1])
  const band = match[2]!.toUpperCase()
  const easting = readNumber(match[3]!.replace(/,$/, ''))
  const northing = readNumber(match[4]!)
  if (zone < 1 || zone > 60) return bad('UTM zone is not between 1 and 60')
  if (!easting.ok || !northing.ok) return bad('easting and northing are not numbers of metres')
  if (easting.value < 100_000 || easting.value > 900_000)
    return bad('easting is outside 100,000 to 900,000 m')
  if (northing.value > 10_000_000) return bad('northing is beyond 10,000,000 m')
  const asBand = fromUtm(zone, band < 'N', easting.value, northing.value)
  const fits = asBand.latitude >= bandSouth(band) - 0.1 && asBand.latitude <= bandNorth(band) + 0.1
  if (fits || band === 'N') return good(asBand)
  if (band === 'S') return good(fromUtm(zone, true, easting.value, northing.value))
  return bad(`northing is not in latitude band ${band}`)
}
