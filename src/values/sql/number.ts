import { type Decimal, groupedNumber, numberLimit, plainNumber } from '../number.ts'
import { bareGallon, type Unit, units } from '../units.ts'
import { literal, once, quote } from './write.ts'

const limit = literal(numberLimit)

/** Plain digits first, then grouped thousands; the text is tidied only if it was neither. */
function numberMacro(name: string, decimal: Decimal): string {
  const plain = decimal === '.' ? quote(plainNumber) : quote(plainNumber.replaceAll('[.]', ','))
  const dotted = (x: string) => (decimal === '.' ? x : `replace(${x}, ',', '.')`)
  const ungroup = (x: string) =>
    `regexp_replace(${x}, ${decimal === '.' ? quote("[, '’]") : quote("[. '’]")}, '', 'g')`
  const read = (
    x: string,
  ) => `CASE WHEN regexp_full_match(${x}, ${plain}) THEN TRY_CAST(${dotted(x)} AS DOUBLE)
      WHEN regexp_full_match(${x}, ${quote(groupedNumber(decimal))}) THEN TRY_CAST(${dotted(ungroup(x))} AS DOUBLE) END`
  return `CREATE OR REPLACE MACRO val.${name}(x) AS ${once(
    `CASE WHEN regexp_matches(x, '[^0-9.,]') THEN regexp_replace(val.tidy(x), '^[−–]([0-9.,])', '-\\1') ELSE x END`,
    't',
    once(read('t'), 'v', `CASE WHEN abs(v) < ${limit} THEN v END`),
  )}`
}

export const numberMacros = [numberMacro('number_point', '.'), numberMacro('number_comma', ',')]

export const number = (expr: string, options: { decimal?: Decimal } = {}): string =>
  `val.${options.decimal === ',' ? 'number_comma' : 'number_point'}(${expr})`

export interface SqlMeasureOptions {
  decimal?: Decimal
  unit: Unit
  /** Pounds per US gallon: a number, or an SQL expression of the row. */
  densityLbPerGal?: number | string | null
}

/** SQL for a quantity in the canonical unit of its dimension; NULL if it cannot be read. See `readMeasure`. */
export function measure(expr: string, options: SqlMeasureOptions): string {
  const declared = units[options.unit]
  const volume = declared.dimension === 'volume' || declared.dimension === 'weight'
  const density = options.densityLbPerGal ?? null
  const perGallon =
    density === null ? 'NULL' : typeof density === 'number' ? literal(density) : `(${density})`
  const canonical = (unit: Unit, value: string) =>
    units[unit].dimension === 'weight'
      ? `${value} * ${literal(units[unit].factor)} / CASE WHEN ${perGallon} > 0 THEN ${perGallon} END`
      : units[unit].factor === 1
        ? value
        : `${value} * ${literal(units[unit].factor)}`
  const related = (Object.keys(units) as Unit[]).filter((unit) =>
    volume
      ? ['volume', 'weight'].includes(units[unit].dimension)
      : units[unit].dimension === declared.dimension,
  )
  const bare: Unit = options.unit === 'gal_imp' ? 'gal_imp' : 'gal_us'
  const branches = related.map((unit) => {
    const spellings = [...units[unit].spellings, ...(volume && unit === bare ? bareGallon : [])]
    return `WHEN p.u IN (${spellings.map(quote).join(', ')}) THEN ${canonical(unit, 'p.n')}`
  })
  const parts = `CASE WHEN regexp_matches(${expr}, '[^0-9.,]') THEN val.measure_parts(${expr}, ${quote(options.decimal ?? '.')}) ELSE {n: ${number(expr, options)}, u: ''} END`
  return once(
    parts,
    'p',
    `CASE p.u WHEN '' THEN ${canonical(options.unit, 'p.n')} ELSE CASE ${branches.join(' ')} END END`,
  )
}

export const measureMacros = [
  `CREATE OR REPLACE MACRO val.measure_parts(x, d) AS ${once(
    `regexp_extract(val.tidy(x), '^([+\\-−–]?[0-9.,][0-9., ''’]*(?:[eE][+-]?[0-9]+)?) ?([a-zA-Z#°''′].*)?$', ['n', 'u'])`,
    'p',
    `{n: CASE d WHEN ',' THEN val.number_comma(p.n) ELSE val.number_point(p.n) END, u: lower(regexp_replace(p.u, '[ .]', '', 'g'))}`,
  )}`,
]
