import type { Position } from './pair.ts'

export type PositionTrouble = 'zero' | 'swapped' | 'missing-sign' | 'out-of-region'

/** Where positions are expected, degrees; e.g. the bases' surroundings. */
export interface Region {
  south: number
  north: number
  west: number
  east: number
}

const inside = (region: Region, latitude: number, longitude: number): boolean =>
  latitude >= region.south && latitude <= region.north && longitude >= region.west && longitude <= region.east

/**
 * What is wrong with a position that is not where positions are expected: 0/0 (a receiver without a fix), latitude
 * and longitude swapped, or a sign missing from one of them. `null` if it is inside the region.
 */
export function positionTrouble(position: Position, region: Region): PositionTrouble | null {
  const { latitude, longitude } = position
  if (Math.abs(latitude) < 1e-6 && Math.abs(longitude) < 1e-6) return 'zero'
  if (inside(region, latitude, longitude)) return null
  if (inside(region, longitude, latitude)) return 'swapped'
  const flips: [number, number][] = [
    [latitude, -longitude],
    [-latitude, longitude],
    [-latitude, -longitude],
  ]
  if (flips.some(([north, east]) => inside(region, north, east))) return 'missing-sign'
  return flips.some(([north, east]) => inside(region, east, north)) ? 'swapped' : 'out-of-region'
}
