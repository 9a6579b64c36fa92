/** Enough geometry to place fires and drops; distances are on a sphere, in nautical miles. */
export interface Point {
  latitude: number
  longitude: number
}

const radians = Math.PI / 180
const earthNm = 3440.065

export function distanceNm(a: Point, b: Point): number {
  const dLat = (b.latitude - a.latitude) * radians
  const dLon = (b.longitude - a.longitude) * radians
  const half =
    Math.sin(dLat / 2) ** 2 +
    Math.cos(a.latitude * radians) * Math.cos(b.latitude * radians) * Math.sin(dLon / 2) ** 2
  return 2 * earthNm * Math.asin(Math.sqrt(half))
}

const round5 = (value: number): number => Math.round(value * 1e5) / 1e5

/** The point so far away in that direction, to five decimals (about a metre). */
export function offsetPoint(from: Point, nm: number, bearing: number): Point {
  const latitude = from.latitude + (nm / 60) * Math.cos(bearing * radians)
  const longitude =
    from.longitude + ((nm / 60) * Math.sin(bearing * radians)) / Math.cos(from.latitude * radians)
  return { latitude: round5(latitude), longitude: round5(longitude) }
}

/** The point on the way from a to b, `share` of the distance along. */
export function between(a: Point, b: Point, share: number): Point {
  return {
    latitude: round5(a.latitude + (b.latitude - a.latitude) * share),
    longitude: round5(a.longitude + (b.longitude - a.longitude) * share),
  }
}
