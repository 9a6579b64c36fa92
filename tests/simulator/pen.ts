import type { Told } from './claims.ts'
import type { Settings } from './options.ts'
import type { Random } from './random.ts'

/** How a hand writes things down: exactly in a clean season, as people do in a messy one. */
export interface Pen {
  aircraft(registration: string): string
  /** Gallons into a text cell, perhaps with a unit or a thousands separator. */
  gallons(value: Told): string | null
  fraction(value: Told): string | null
  fluid(value: Told): string | null
  /** Latitude and longitude in one notation, or nothing. */
  position(latitude: Told, longitude: Told): { latitude: string; longitude: string } | null
  /** A number in another unit: all its digits in a clean season, rounded to `step` in a messy one. */
  measured(value: Told, factor: number, step: number): number | null
}

const fluidWords: Record<string, string[]> = {
  water: ['water', 'H2O', 'WTR', 'Water'],
  retardant: ['retardant', 'RET', 'LTR', 'Retardant'],
  gel: ['gel', 'GEL', 'Gel'],
  foam: ['foam', 'FOAM', 'Class A foam'],
}

const fractionWords: Record<string, string[]> = {
  '0.25': ['1/4', '¼', '0.25', '25%', 'quarter'],
  '0.5': ['1/2', '½', '0.5', '50%', 'half', '2/4'],
  '0.75': ['3/4', '¾', '0.75', '75%'],
  '1': ['1', 'full', 'FULL', '100%'],
}

export function sloppyAircraft(registration: string, random: Random): string {
  const number = registration.slice(1, 4)
  return random.pick([
    registration.toLowerCase(),
    `${registration.slice(0, 1)}-${registration.slice(1)}`,
    `T${number}`,
    `Tanker ${number}`,
    `TKR-${number}`,
    ` ${registration} `,
    number,
    registration.slice(1),
  ])
}

const two = (value: number, digits: number, width: number): string =>
  value.toFixed(digits).padStart(width, '0')

export function writeAngle(
  value: number,
  axis: 'latitude' | 'longitude',
  notation: 'DD' | 'DDM' | 'DMS',
): string {
  const letter = axis === 'latitude' ? (value < 0 ? 'S' : 'N') : value < 0 ? 'W' : 'E'
  const size = Math.abs(value)
  if (notation === 'DD') return String(value)
  if (notation === 'DDM') {
    const thousandths = Math.round(size * 60_000)
    return `${Math.floor(thousandths / 60_000)}° ${two((thousandths % 60_000) / 1000, 3, 6)}' ${letter}`
  }
  const tenths = Math.round(size * 36_000)
  const minutes = Math.floor((tenths % 36_000) / 600)
  return `${Math.floor(tenths / 36_000)}° ${minutes}' ${two((tenths % 600) / 10, 1, 4)}" ${letter}`
}

export function makePen(settings: Settings, random: Random): Pen {
  const { mess } = settings
  const isMessy = mess.units
  return {
    aircraft: (registration) =>
      random.chance(mess.sloppy_aircraft) ? sloppyAircraft(registration, random) : registration,
    gallons(value) {
      if (typeof value !== 'number') return null
      const grouped = value.toLocaleString('en-US', { maximumFractionDigits: 0 })
      return isMessy ? random.pick([String(value), grouped, `${grouped} gal`, `${value} GAL`]) : String(value)
    },
    fraction(value) {
      if (typeof value !== 'number') return null
      const words = mess.fraction_spellings ? fractionWords[String(value)] : undefined
      return words ? random.pick(words) : String(value)
    },
    fluid(value) {
      if (typeof value !== 'string') return null
      return mess.units ? random.pick(fluidWords[value]!) : value
    },
    position(latitude, longitude) {
      if (typeof latitude !== 'number' || typeof longitude !== 'number') return null
      const notation = mess.position_notations ? random.pick(['DD', 'DDM', 'DMS'] as const) : 'DD'
      return {
        latitude: writeAngle(latitude, 'latitude', notation),
        longitude: writeAngle(longitude, 'longitude', notation),
      }
    },
    measured(value, factor, step) {
      if (typeof value !== 'number') return null
      return isMessy ? Number((Math.round((value * factor) / step) * step).toFixed(3)) : value * factor
    },
  }
}
