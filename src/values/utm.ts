/**
 * Universal Transverse Mercator on WGS 84 by Krüger's series to the sixth order in the third flattening
 * (L. Krüger 1912; coefficients as in C. F. F. Karney, "Transverse Mercator with an accuracy of a few nanometers",
 * Journal of Geodesy 85, 2011). Accurate to well under a millimetre inside a zone.
 */
const a = 6378137
const f = 1 / 298.257223563
const n = f / (2 - f)
const e = Math.sqrt(f * (2 - f))
const k0 = 0.9996
const meridian = (a / (1 + n)) * (1 + n ** 2 / 4 + n ** 4 / 64 + n ** 6 / 256)

const alpha = [
  n / 2 -
    (2 / 3) * n ** 2 +
    (5 / 16) * n ** 3 +
    (41 / 180) * n ** 4 -
    (127 / 288) * n ** 5 +
    (7891 / 37800) * n ** 6,
  (13 / 48) * n ** 2 -
    (3 / 5) * n ** 3 +
    (557 / 1440) * n ** 4 +
    (281 / 630) * n ** 5 -
    (1983433 / 1935360) * n ** 6,
  (61 / 240) * n ** 3 - (103 / 140) * n ** 4 + (15061 / 26880) * n ** 5 + (167603 / 181440) * n ** 6,
  (49561 / 161280) * n ** 4 - (179 / 168) * n ** 5 + (6601661 / 7257600) * n ** 6,
  (34729 / 80640) * n ** 5 - (3418889 / 1995840) * n ** 6,
  (212378941 / 319334400) * n ** 6,
]
const beta = [
  n / 2 -
    (2 / 3) * n ** 2 +
    (37 / 96) * n ** 3 -
    (1 / 360) * n ** 4 -
    (81 / 512) * n ** 5 +
    (96199 / 604800) * n ** 6,
  (1 / 48) * n ** 2 +
    (1 / 15) * n ** 3 -
    (437 / 1440) * n ** 4 +
    (46 / 105) * n ** 5 -
    (1118711 / 3870720) * n ** 6,
  (17 / 480) * n ** 3 - (37 / 840) * n ** 4 - (209 / 4480) * n ** 5 + (5569 / 90720) * n ** 6,
  (4397 / 161280) * n ** 4 - (11 / 504) * n ** 5 - (830251 / 7257600) * n ** 6,
  (4583 / 161280) * n ** 5 - (108847 / 3991680) * n ** 6,
  (20648693 / 638668800) * n ** 6,
]

const radians = Math.PI / 180

/** Central meridian of a zone, degrees east. */
export const centralMeridian = (zone: number): number => zone * 6 - 183

/** Easting and northing in metres of a position in a given zone; southern northings have 10,000,000 m added. */
export function toUtm(
  latitude: number,
  longitude: number,
  zone: number,
): { easting: number; northing: number } {
  const sinPhi = Math.sin(latitude * radians)
  const lambda = (longitude - centralMeridian(zone)) * radians
  const t = Math.sinh(Math.atanh(sinPhi) - e * Math.atanh(e * sinPhi))
  const xi = Math.atan2(t, Math.cos(lambda))
  const eta = Math.asinh(Math.sin(lambda) / Math.hypot(t, Math.cos(lambda)))
  let x = eta
  let y = xi
  alpha.forEach((factor, i) => {
    const j = 2 * (i + 1)
    x += factor * Math.cos(j * xi) * Math.sinh(j * eta)
    y += factor * Math.sin(j * xi) * Math.cosh(j * eta)
  })
  return {
    easting: 500_000 + k0 * meridian * x,
    northing: (latitude < 0 ? 10_000_000 : 0) + k0 * meridian * y,
  }
}

/** Latitude and longitude in degrees of an easting and northing in metres. */
export function fromUtm(
  zone: number,
  south: boolean,
  easting: number,
  northing: number,
): { latitude: number; longitude: number } {
  const xi = (northing - (south ? 10_000_000 : 0)) / (k0 * meridian)
  const eta = (easting - 500_000) / (k0 * meridian)
  let x = eta
  let y = xi
  beta.forEach((factor, i) => {
    const j = 2 * (i + 1)
    x -= factor * Math.cos(j * xi) * Math.sinh(j * eta)
    y -= factor * Math.sin(j * xi) * Math.cosh(j * eta)
  })
  const conformal = Math.sin(y) / Math.cosh(x)
  const target = Math.asinh(conformal / Math.sqrt(1 - conformal ** 2))
  let q = target
  for (let i = 0; i < 8; i++) q = target + e * Math.atanh(e * Math.tanh(q))
  return {
    latitude: Math.asin(Math.tanh(q)) / radians,
    longitude: Math.atan2(Math.sinh(x), Math.cos(y)) / radians + centralMeridian(zone),
  }
}
