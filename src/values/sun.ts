/**
 * The sun by the low-accuracy formulas that NOAA's solar calculator uses (J. Meeus, Astronomical Algorithms, 2nd ed.
 * 1998, chapters 25 and 28). Official rise and set: centre 0.833 degrees below the horizon (USNO, Almanac for
 * Computers, 1990: zenith 90°50′). Good to about a minute away from the poles. Terrain and local rules govern.
 */
export const officialZenith = 90.833
const radians = Math.PI / 180
const dayMs = 86_400_000

/** Declination (degrees) and equation of time (minutes) at Julian centuries since J2000.0. */
export function sunElements(t: number): { declination: number; equationOfTime: number } {
  const meanLongitude = 280.46646 + t * (36000.76983 + t * 0.0003032)
  const anomaly = (357.52911 + t * (35999.05029 - 0.0001537 * t)) * radians
  const eccentricity = 0.016708634 - t * (0.000042037 + 0.0000001267 * t)
  const centre =
    Math.sin(anomaly) * (1.914602 - t * (0.004817 + 0.000014 * t)) +
    Math.sin(2 * anomaly) * (0.019993 - 0.000101 * t) +
    Math.sin(3 * anomaly) * 0.000289
  const node = (125.04 - 1934.136 * t) * radians
  const apparent = (meanLongitude + centre - 0.00569 - 0.00478 * Math.sin(node)) * radians
  const obliquity =
    (23 +
      (26 + (21.448 - t * (46.815 + t * (0.00059 - t * 0.001813))) / 60) / 60 +
      0.00256 * Math.cos(node)) *
    radians
  const y = Math.tan(obliquity / 2) ** 2
  const twice = 2 * meanLongitude * radians
  const equation =
    y * Math.sin(twice) -
    2 * eccentricity * Math.sin(anomaly) +
    4 * eccentricity * y * Math.sin(anomaly) * Math.cos(twice) -
    0.5 * y * y * Math.sin(2 * twice) -
    1.25 * eccentricity * eccentricity * Math.sin(2 * anomaly)
  return {
    declination: Math.asin(Math.sin(obliquity) * Math.sin(apparent)) / radians,
    equationOfTime: (4 * equation) / radians,
  }
}

/** Julian centuries since J2000.0 of a UTC moment (ms). */
export const julianCenturies = (ms: number): number => (ms / dayMs + 2440587.5 - 2451545) / 36525

/** Hour angle of the sun in degrees, -180 to 180, negative before noon. */
function hourAngle(ms: number, longitude: number, equationOfTime: number): number {
  const solarMinutes = (ms % dayMs) / 60_000 + equationOfTime + 4 * longitude
  return ((((solarMinutes / 4) % 360) + 360) % 360) - 180
}

/** Height of the sun's centre above the horizon in degrees, without refraction, at a moment and place. */
export function sunElevation(moment: Date, latitude: number, longitude: number): number {
  const ms = moment.getTime()
  const { declination, equationOfTime } = sunElements(julianCenturies(ms))
  return elevation(latitude, declination, hourAngle(ms, longitude, equationOfTime))
}

function elevation(latitude: number, declination: number, angle: number): number {
  const sine =
    Math.sin(latitude * radians) * Math.sin(declination * radians) +
    Math.cos(latitude * radians) * Math.cos(declination * radians) * Math.cos(angle * radians)
  return Math.asin(Math.max(-1, Math.min(1, sine))) / radians
}

export type SunDay =
  | { kind: 'rises'; sunrise: Date; sunset: Date }
  | { kind: 'always-up' }
  | { kind: 'always-down' }

/**
 * Sunrise and sunset of a local day, `YYYY-MM-DD`, at a place. Both belong to that solar day: in UTC the sunset may
 * be on the next date. Polar day and night are answers, never NaN.
 */
export function sunDay(day: string, latitude: number, longitude: number): SunDay {
  const midnight = Date.parse(`${day}T00:00:00Z`)
  const rise = event(midnight, latitude, longitude, 1)
  const set = event(midnight, latitude, longitude, -1)
  if (typeof rise === 'number' && typeof set === 'number')
    return { kind: 'rises', sunrise: new Date(rise), sunset: new Date(set) }
  return { kind: rise === 'down' || set === 'down' ? 'always-down' : 'always-up' }
}

/** NOAA's two passes: from the elements at UTC midnight to a first time, then from the elements at that time. */
function event(midnight: number, latitude: number, longitude: number, side: 1 | -1): number | 'up' | 'down' {
  let at = midnight
  for (let pass = 0; pass < 2; pass++) {
    const { declination, equationOfTime } = sunElements(julianCenturies(at))
    const cosine =
      Math.cos(officialZenith * radians) / (Math.cos(latitude * radians) * Math.cos(declination * radians)) -
      Math.tan(latitude * radians) * Math.tan(declination * radians)
    if (!(cosine >= -1)) return 'up'
    if (cosine > 1) return 'down'
    const angle = (side * Math.acos(cosine)) / radians
    at = midnight + (720 - 4 * (longitude + angle) - equationOfTime) * 60_000
  }
  return at
}

/**
 * True if a moment is earlier than `margin_min` before sunrise and later than `margin_min` after the sunset before.
 * Asked of the sun's height instead of dates: the sun stays down during the whole of moment ± margin. Exact across
 * midnight, in polar day (never) and polar night (always, except near noon where the margin reaches a day's top).
 */
export function isOutsideDaylight(
  moment: Date,
  latitude: number,
  longitude: number,
  margin_min = 30,
): boolean {
  const ends = [-1, 1].map((side) => {
    const ms = moment.getTime() + side * margin_min * 60_000
    const { declination, equationOfTime } = sunElements(julianCenturies(ms))
    const angle = hourAngle(ms, longitude, equationOfTime)
    return {
      angle,
      height: elevation(latitude, declination, angle),
      noon: 90 - Math.abs(latitude - declination),
    }
  })
  const horizon = 90 - officialZenith
  const [before, after] = ends as [(typeof ends)[0], (typeof ends)[0]]
  const holdsNoon = before.angle <= 0 && after.angle >= 0 && after.angle - before.angle < 180
  return before.height < horizon && after.height < horizon && !(holdsNoon && before.noon >= horizon)
}
