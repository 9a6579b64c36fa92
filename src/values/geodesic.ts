import { metresPerNauticalMile } from './units.ts'

/** WGS 84: equatorial radius in metres and flattening. */
export const equatorialRadius = 6378137
export const flattening = 1 / 298.257223563

const radians = Math.PI / 180

/**
 * Length in metres of the geodesic between two positions (degrees, WGS 84) by the Andoyer-Lambert formula: the arc
 * on the auxiliary sphere of reduced latitudes, corrected to first order in the flattening (W. D. Lambert, "The
 * distance between two widely separated points on the surface of the earth", J. Washington Academy of Sciences 32,
 * 1942). Within 0.01 % up to 100 NM and far beyond; not for nearly opposite points. Thresholds, not surveying.
 */
export function distanceMetres(
  latitude1: number,
  longitude1: number,
  latitude2: number,
  longitude2: number,
): number {
  const beta1 = Math.atan((1 - flattening) * Math.tan(latitude1 * radians))
  const beta2 = Math.atan((1 - flattening) * Math.tan(latitude2 * radians))
  const p = (beta1 + beta2) / 2
  const q = (beta2 - beta1) / 2
  const halfLongitude = ((longitude2 - longitude1) * radians) / 2
  const h = Math.sin(q) ** 2 + Math.cos(beta1) * Math.cos(beta2) * Math.sin(halfLongitude) ** 2
  const sigma = 2 * Math.asin(Math.sqrt(Math.min(1, h)))
  const sine = Math.sin(sigma)
  const x = ((sigma - sine) * Math.sin(p) ** 2 * Math.cos(q) ** 2) / Math.max(1 - h, 1e-30)
  const y = ((sigma + sine) * Math.cos(p) ** 2 * Math.sin(q) ** 2) / Math.max(h, 1e-30)
  return equatorialRadius * (sigma - (flattening / 2) * (x + y))
}

/** The same in nautical miles. */
export function distanceNm(
  latitude1: number,
  longitude1: number,
  latitude2: number,
  longitude2: number,
): number {
  return distanceMetres(latitude1, longitude1, latitude2, longitude2) / metresPerNauticalMile
}
