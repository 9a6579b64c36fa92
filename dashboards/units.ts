import type { Units } from './address.ts'

/** What a column measures. Canonical values are US gallon, foot, knot, hour; the metric face is computed at display only. */
export type Measure =
  | 'volume'
  | 'volume-rate'
  | 'flow'
  | 'length'
  | 'chains'
  | 'distance'
  | 'speed'
  | 'hours'
  | 'minutes'
  | 'percent'
  | 'share'
  | 'money'
  | 'count'
  | 'coverage'
  | 'degree'
  | 'seconds'
  | 'plain'

interface Face {
  readonly unit: string
  readonly factor: number
  readonly digits: number
}

const litre = 3.785411784
const face = (unit: string, factor: number, digits: number): Face => ({ unit, factor, digits })
const same = (unit: string, digits: number): Record<Units, Face> => ({
  us: face(unit, 1, digits),
  metric: face(unit, 1, digits),
})

/** Factors: NIST Handbook 44 (2024), Appendix C, General Tables of Units of Measurement (exact by definition). */
const faces: Record<Measure, Record<Units, Face>> = {
  volume: { us: face('gal', 1, 0), metric: face('L', litre, 0) },
  'volume-rate': { us: face('gal/h', 1, 0), metric: face('L/h', litre, 0) },
  flow: { us: face('gal/s', 1, 0), metric: face('L/s', litre, 0) },
  length: { us: face('ft', 1, 0), metric: face('m', 0.3048, 0) },
  // A chain is 66 ft.
  chains: { us: face('chains', 1, 1), metric: face('m', 20.1168, 0) },
  distance: { us: face('NM', 1, 1), metric: face('km', 1.852, 1) },
  speed: { us: face('kt', 1, 0), metric: face('km/h', 1.852, 0) },
  coverage: { us: face('gal/100 ft²', 1, 1), metric: face('L/m²', 9779 / 24000, 2) },
  hours: same('h', 1),
  minutes: same('min', 0),
  seconds: same('s', 1),
  percent: same('%', 1),
  share: { us: face('%', 100, 0), metric: face('%', 100, 0) },
  money: same('', 2),
  count: same('', 0),
  degree: same('°', 4),
  plain: same('', 2),
}

export function unitOf(measure: Measure, units: Units): string {
  return faces[measure][units].unit
}

/** Of the seventeen digits of a double the last two are rounding: 2,000 L kept in gallons come back as 2000.0000000000002. */
const trueDigits = 15

/** The value in the unit shown, without the dust of the conversion; null stays null. */
export function shown(value: number | null, measure: Measure, units: Units): number | null {
  if (value === null || !Number.isFinite(value)) return null
  const { factor } = faces[measure][units]
  return factor === 1 ? value : Number((value * factor).toPrecision(trueDigits))
}

const formats = new Map<number, Intl.NumberFormat>()

function formatOf(digits: number): Intl.NumberFormat {
  let format = formats.get(digits)
  if (!format) {
    format = new Intl.NumberFormat('en-US', { minimumFractionDigits: digits, maximumFractionDigits: digits })
    formats.set(digits, format)
  }
  return format
}

/** A number with thousands separators and a true minus sign, without its unit; an em dash when it is not known. */
export function figure(
  value: number | null | undefined,
  measure: Measure,
  units: Units,
  digits?: number,
): string {
  const amount = shown(value ?? null, measure, units)
  if (amount === null) return '—'
  // A count of hours is a count too: its tenths are shown when it has any.
  const own = measure === 'count' && !Number.isInteger(amount) ? 1 : faces[measure][units].digits
  return formatOf(digits ?? own)
    .format(amount)
    .replace('-', '−')
    .replace(/^−(0(\.0+)?)$/, '$1')
}

const threeFigured = new Intl.NumberFormat('en-US', { maximumSignificantDigits: 3 })
const whole = new Intl.NumberFormat('en-US', { maximumFractionDigits: 0 })

/** A number of a column that mixes measures, to three figures at least: `1,069`, `0.0293`, `−39.3`. */
export const threeFigures = (value: number): string =>
  (Math.abs(value) < 1000 ? threeFigured : whole).format(value).replace('-', '−').replace(/^−0$/, '0')

/** `figure` with its unit behind it: `2,850 gal`. */
export function quantity(
  value: number | null | undefined,
  measure: Measure,
  units: Units,
  digits?: number,
): string {
  const text = figure(value, measure, units, digits)
  const unit = unitOf(measure, units)
  if (text === '—' || !unit) return text
  return unit === '%' || unit === '°' ? `${text}${unit}` : `${text}\u00a0${unit}`
}

/** Money from its exact decimal text: grouped, never through floating point. */
export function money(text: string | number | null | undefined): string {
  if (text === null || text === undefined) return '—'
  const [, sign, whole, cents] = /^(-?)(\d+)(?:\.(\d+))?$/.exec(String(text)) ?? []
  if (whole === undefined) return String(text)
  const fraction = (cents ?? '').padEnd(2, '0')
  return `${sign ? '−' : ''}${whole.replace(/\B(?=(\d{3})+$)/g, ',')}.${fraction}`
}
