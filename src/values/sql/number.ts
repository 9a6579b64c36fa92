import { type Decimal, groupedNumber, numberLimit, plainNumber } from '../number.ts'
import { bareGallon, type Unit, units } from '../units.ts'
import { literal, once, oneOf, quote } from './write.ts'

const limit = literal(numberLimit)
const point = (decimal: Decimal): string => (decimal === '.' ? '[.]' : ',')

/** Digits of at most 15 places, with or without groups of three by the usual separator: never too large. */
function common(decimal: Decimal): string {
  const mark = decimal === '.' ? ',' : '[.]'
  return `[+-]?(?:[0-9]{1,15}|[0-9]{1,3}(?:${mark}[0-9]{3}){1,4})(?:${point(decimal)}[0-9]*)?`
}

/** Cast of a text that is known to follow `common` or one of the other number patterns, less its spaces. */
function cast(text: string, decimal: Decimal): string {
  return decimal === '.'
    ? `TRY_CAST(replace(${text}, ',', '') AS DOUBLE)`
    : `TRY_CAST(replace(replace(${text}, '.', ''), ',', '.') AS DOUBLE)`
}

const name = (decimal: Decimal): string => (decimal === '.' ? 'point' : 'comma')

/** The common spelling first; rarer ones (spaces, apostrophes, powers of ten, odd minus signs) are tidied and tried. */
function numberMacros(decimal: Decimal): string[] {
  const any = `(?:${plainNumber.replaceAll('[.]', point(decimal))}|${groupedNumber(decimal)})`
  const tidied = `regexp_replace(val.plain_text(x), '^[−–]([0-9.,])', '-\\1')`
  const rare = `CASE WHEN regexp_full_match(t, ${quote(any)}) THEN ${cast(`regexp_replace(t, '[ ''’]', '', 'g')`, decimal)} END`
  return [
    `CREATE OR REPLACE MACRO val.rare_number_${name(decimal)}(x) AS ${once(once(tidied, 't', rare), 'v', `CASE WHEN abs(v) < ${limit} THEN v END`)}`,
    `CREATE OR REPLACE MACRO val.number_${name(decimal)}(x) AS CASE WHEN regexp_full_match(x, ${quote(common(decimal))})
      THEN ${cast('x', decimal)} ELSE val.rare_number_${name(decimal)}(x) END`,
  ]
}

export const numberSqlMacros: string[] = [
  ...numberMacros('.'),
  ...numberMacros(','),
  `CREATE OR REPLACE MACRO val.number_part(x) AS regexp_extract(x, '^([+\\-−–]?[0-9.,][0-9., ''’]*?(?:[eE][+-]?[0-9]+)?) ?[a-zA-Z#°''′]', 1)`,
  `CREATE OR REPLACE MACRO val.unit_part(x) AS regexp_replace(lower(regexp_extract(x, '^[+\\-−–]?[0-9.,][0-9., ''’]*(?:[eE][+-]?[0-9]+)? ?([a-zA-Z#°''′].*)$', 1)), '[ .]', '', 'g')`,
]

/** SQL for a number; NULL if it cannot be read. See `readNumber`. */
export const number = (expr: string, options: { decimal?: Decimal } = {}): string =>
  `val.number_${name(options.decimal ?? '.')}(${expr})`

export interface SqlMeasureOptions {
  decimal?: Decimal
  unit: Unit
  /** Pounds per US gallon: a number, or an SQL expression of the row. */
  densityLbPerGal?: number | string | null
}

/** SQL for a quantity in the canonical unit of its dimension; NULL if it cannot be read. See `readMeasure`. */
export function measure(expr: string, options: SqlMeasureOptions): string {
  const decimal = options.decimal ?? '.'
  const spelled = [...units[options.unit].spellings, ...(options.unit.startsWith('gal') ? bareGallon : [])]
    .filter((spelling) => /^[a-z]+$/.test(spelling))
    .map((spelling) => [...spelling].map((letter) => `[${letter.toUpperCase()}${letter}]`).join(''))
  const declared = `(?:${spelled.join('|')})`
  const value = (number: string) => canonical(options.unit, number, options)
  return `CASE WHEN regexp_full_match(${expr}, ${quote(common(decimal))}) THEN ${value(cast(expr, decimal))}
    WHEN regexp_full_match(${expr}, ${quote(`${common(decimal)} ?${declared}`)}) THEN ${value(cast(`regexp_extract(${expr}, '^[+-]?[0-9.,]+')`, decimal))}
    ELSE ${rareMeasure(expr, options)} END`
}

/** A unit other than the declared one, or a rare spelling of the number. */
function rareMeasure(expr: string, options: SqlMeasureOptions): string {
  const decimal = options.decimal ?? '.'
  const declared = units[options.unit].dimension
  const volume = declared === 'volume' || declared === 'weight'
  const bare: Unit = options.unit === 'gal_imp' ? 'gal_imp' : 'gal_us'
  const branches = (Object.keys(units) as Unit[])
    .filter((unit) =>
      volume ? ['volume', 'weight'].includes(units[unit].dimension) : units[unit].dimension === declared,
    )
    .map((unit) => {
      const spellings = [...units[unit].spellings, ...(volume && unit === bare ? bareGallon : [])]
      return `WHEN ${oneOf('val.unit_part(t)', spellings)} THEN ${canonical(unit, `val.rare_number_${name(decimal)}(val.number_part(t))`, options)}`
    })
  return once(
    `val.plain_text(${expr})`,
    't',
    `CASE WHEN val.unit_part(t) = '' THEN ${canonical(options.unit, `val.rare_number_${name(decimal)}(t)`, options)} ${branches.join(' ')} END`,
  )
}

function canonical(unit: Unit, value: string, options: SqlMeasureOptions): string {
  const { dimension, factor } = units[unit]
  const scaled = factor === 1 ? value : `${value} * ${literal(factor)}`
  if (dimension !== 'weight') return scaled
  const density = options.densityLbPerGal ?? null
  if (density === null) return 'CAST(NULL AS DOUBLE)'
  if (typeof density === 'number')
    return density > 0 ? `${scaled} / ${literal(density)}` : 'CAST(NULL AS DOUBLE)'
  return `${scaled} / CASE WHEN (${density}) > 0 THEN (${density}) END`
}
