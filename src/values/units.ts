/**
 * Units of measure as logs write them, and their factors to the canonical unit of each dimension:
 * volume in US gallons, length in feet, speed in knots, duration in seconds, angle in degrees, weight in pounds.
 * Factors follow from exact definitions (NIST Handbook 44 Appendix C; NIST SP 811 Appendix B): US gallon
 * 231 in³ = 3.785411784 L, imperial gallon 4.54609 L, foot 0.3048 m, pound 0.45359237 kg, nautical mile 1852 m.
 */
export type Dimension = 'volume' | 'weight' | 'length' | 'speed' | 'duration' | 'angle'

export type Unit =
  | 'gal_us'
  | 'gal_imp'
  | 'L'
  | 'hL'
  | 'm3'
  | 'lb'
  | 'kg'
  | 'ft'
  | 'm'
  | 'km'
  | 'NM'
  | 'mi'
  | 'kt'
  | 'km/h'
  | 'mph'
  | 'm/s'
  | 'ft/s'
  | 's'
  | 'min'
  | 'h'
  | 'deg'

export const litresPerGallon = 3.785411784
export const litresPerImperialGallon = 4.54609
export const metresPerFoot = 0.3048
export const kilogramsPerPound = 0.45359237
export const metresPerNauticalMile = 1852

export interface UnitFact {
  readonly dimension: Dimension
  /** Multiply by this to get the canonical unit of the dimension. */
  readonly factor: number
  /** Usual spellings, lower case, without dots and inner spaces. */
  readonly spellings: readonly string[]
}

const kmPerHour = 1000 / metresPerNauticalMile

/** Every unit once. `gal` alone is not here: it means the declared gallon, a US gallon where none is declared. */
export const units: Readonly<Record<Unit, UnitFact>> = {
  gal_us: {
    dimension: 'volume',
    factor: 1,
    spellings: ['gal_us', 'usgal', 'usg', 'usgals', 'usgallon', 'usgallons', 'galus'],
  },
  gal_imp: {
    dimension: 'volume',
    factor: litresPerImperialGallon / litresPerGallon,
    spellings: [
      'gal_imp',
      'impgal',
      'impgals',
      'igal',
      'ig',
      'ukgal',
      'ukgals',
      'imperialgallon',
      'imperialgallons',
      'impgallons',
      'galimp',
    ],
  },
  L: {
    dimension: 'volume',
    factor: 1 / litresPerGallon,
    spellings: ['l', 'lt', 'ltr', 'ltrs', 'lts', 'litre', 'litres', 'liter', 'liters'],
  },
  hL: {
    dimension: 'volume',
    factor: 100 / litresPerGallon,
    spellings: ['hl', 'hectolitre', 'hectolitres', 'hectoliter', 'hectoliters'],
  },
  m3: {
    dimension: 'volume',
    factor: 1000 / litresPerGallon,
    spellings: ['m3', 'm³', 'cubicmetres', 'cubicmeters'],
  },
  lb: { dimension: 'weight', factor: 1, spellings: ['lb', 'lbs', 'pound', 'pounds', '#'] },
  kg: {
    dimension: 'weight',
    factor: 1 / kilogramsPerPound,
    spellings: ['kg', 'kgs', 'kilo', 'kilos', 'kilogram', 'kilograms'],
  },
  ft: { dimension: 'length', factor: 1, spellings: ['ft', 'feet', 'foot', "'", '′', 'ftagl', 'ftmsl'] },
  m: {
    dimension: 'length',
    factor: 1 / metresPerFoot,
    spellings: ['m', 'metre', 'metres', 'meter', 'meters', 'mtr', 'mtrs', 'magl'],
  },
  km: {
    dimension: 'length',
    factor: 1000 / metresPerFoot,
    spellings: ['km', 'kms', 'kilometre', 'kilometres', 'kilometer', 'kilometers'],
  },
  NM: {
    dimension: 'length',
    factor: metresPerNauticalMile / metresPerFoot,
    spellings: ['nm', 'nmi', 'nauticalmile', 'nauticalmiles'],
  },
  mi: { dimension: 'length', factor: 5280, spellings: ['mi', 'mile', 'miles', 'sm'] },
  kt: {
    dimension: 'speed',
    factor: 1,
    spellings: ['kt', 'kts', 'kn', 'knot', 'knots', 'ktas', 'kias', 'ktgs'],
  },
  'km/h': { dimension: 'speed', factor: kmPerHour, spellings: ['km/h', 'kmh', 'kph', 'km/hr', 'kmph'] },
  mph: { dimension: 'speed', factor: 1.609344 * kmPerHour, spellings: ['mph', 'mi/h', 'milesperhour'] },
  'm/s': { dimension: 'speed', factor: 3.6 * kmPerHour, spellings: ['m/s', 'mps', 'm/sec'] },
  'ft/s': {
    dimension: 'speed',
    factor: metresPerFoot * 3.6 * kmPerHour,
    spellings: ['ft/s', 'fps', 'ft/sec'],
  },
  s: { dimension: 'duration', factor: 1, spellings: ['s', 'sec', 'secs', 'second', 'seconds'] },
  min: { dimension: 'duration', factor: 60, spellings: ['min', 'mins', 'minute', 'minutes'] },
  h: { dimension: 'duration', factor: 3600, spellings: ['h', 'hr', 'hrs', 'hour', 'hours'] },
  deg: { dimension: 'angle', factor: 1, spellings: ['deg', 'degs', 'degree', 'degrees', '°'] },
}

/** Spellings of "gallon" that do not say which gallon. */
export const bareGallon = ['gal', 'gals', 'gallon', 'gallons', 'g', 'gl', 'gls'] as const

const bySpelling = new Map<string, Unit>(
  (Object.entries(units) as [Unit, UnitFact][]).flatMap(([unit, fact]) =>
    fact.spellings.map((spelling): [string, Unit] => [spelling, unit]),
  ),
)

/** A spelling as it is looked up: lower case, without spaces and dots. */
export const unitKey = (text: string): string => text.toLowerCase().replace(/[ .]/g, '')

/** The unit that a written spelling means in a column declared in `declared`; `null` if it is not known. */
export function unitNamed(text: string, declared: Unit): Unit | null {
  const key = unitKey(text)
  if ((bareGallon as readonly string[]).includes(key)) return declared === 'gal_imp' ? 'gal_imp' : 'gal_us'
  return bySpelling.get(key) ?? null
}

export type Fluid = 'water' | 'retardant' | 'gel' | 'foam'

/**
 * Density in pounds per US gallon used where a weight must become a volume and the log gives none.
 * Water 8.33 and properly mixed long-term retardant 8.93 to 9.13 (its middle is taken): USDA Forest Service,
 * Tech Tip 0657-1301-SDTDC (June 2006). Gel (1 to 3 % by volume) and class A foam (0.1 to 1 %) are taken as
 * water: the mix shares are from memory.
 */
export const defaultDensity: Readonly<Record<Fluid, number>> = {
  water: 8.33,
  retardant: 9.03,
  gel: 8.33,
  foam: 8.33,
}
