import type { Axis } from './angle.ts'
import type { Position } from './pair.ts'

const letter = (degrees: number, axis: Axis): string =>
  axis === 'lat' ? (degrees < 0 ? 'S' : 'N') : degrees < 0 ? 'W' : 'E'

/** Decimal degrees with a hemisphere letter: `N 64.84052°`. */
export function formatDecimalDegrees(degrees: number, axis: Axis, digits = 5): string {
  return `${letter(degrees, axis)} ${Math.abs(degrees).toFixed(digits)}°`
}

/** Degrees and decimal minutes, the format of aviation operations: `N 64° 50.431′`; 60 carries into the degree. */
export function formatDegreesMinutes(degrees: number, axis: Axis, digits = 3): string {
  const scale = 10 ** digits
  const units = Math.round(Math.abs(degrees) * 60 * scale)
  const whole = Math.floor(units / (60 * scale))
  const minutes = ((units - whole * 60 * scale) / scale)
    .toFixed(digits)
    .padStart(digits === 0 ? 2 : digits + 3, '0')
  return `${letter(degrees, axis)} ${whole}° ${minutes}′`
}

/** Degrees, minutes and seconds: `N 64° 50′ 25.9″`; 60 carries. */
export function formatDegreesMinutesSeconds(degrees: number, axis: Axis, digits = 1): string {
  const scale = 10 ** digits
  const units = Math.round(Math.abs(degrees) * 3600 * scale)
  const whole = Math.floor(units / (3600 * scale))
  const minutes = Math.floor((units - whole * 3600 * scale) / (60 * scale))
  const seconds = ((units - whole * 3600 * scale - minutes * 60 * scale) / scale)
    .toFixed(digits)
    .padStart(digits === 0 ? 2 : digits + 3, '0')
  return `${letter(degrees, axis)} ${whole}° ${String(minutes).padStart(2, '0')}′ ${seconds}″`
}

/** Latitude and longitude in one of the three notations. */
export function formatPosition(position: Position, notation: 'DD' | 'DDM' | 'DMS' = 'DDM'): string {
  const format = { DD: formatDecimalDegrees, DDM: formatDegreesMinutes, DMS: formatDegreesMinutesSeconds }[
    notation
  ]
  return `${format(position.latitude, 'lat')} ${format(position.longitude, 'lon')}`
}
