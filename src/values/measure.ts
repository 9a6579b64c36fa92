import { type Decimal, plainNumber, readNumber } from './number.ts'
import { bad, good, type Read } from './read.ts'
import { tidy } from './text.ts'
import { type Unit, unitNamed, units } from './units.ts'

export interface MeasureOptions {
  decimal?: Decimal
  /** Unit of the column; a unit written behind the number wins if it measures the same thing. */
  unit: Unit
  /** Pounds per US gallon; needed when a volume is given by weight. */
  densityLbPerGal?: number | null
}

/** Number and unit of a cell: the unit starts at the first letter or unit sign that is not an exponent. */
export const measureParts = /^([+\-−–]?[0-9.,][0-9., '’]*?(?:[eE][+-]?[0-9]+)?) ?([a-zA-Z#°'′].*)$/

const numberAlone = new RegExp(`^${plainNumber}$`)

/**
 * A quantity in the canonical unit of its dimension (US gal, ft, kt, s, degree). A weight, declared or
 * written, becomes US gallons by its density; without a density it cannot be read.
 */
export function readMeasure(text: string, options: MeasureOptions): Read<number> {
  const cell = tidy(text)
  if (cell === null) return bad('blank')
  const decimal = options.decimal ?? '.'
  const bare = readNumber(cell, decimal)
  if (bare.ok) return canonical(bare.value, options.unit, options)
  const parts = numberAlone.test(cell) ? null : measureParts.exec(cell)
  if (parts === null) return bare
  const number = readNumber(parts[1]!, decimal)
  if (!number.ok) return number
  const unit = unitNamed(parts[2]!, options.unit)
  if (unit === null) return bad(`unit '${parts[2]}' is not known`)
  if (quantity(unit) !== quantity(options.unit))
    return bad(`unit '${parts[2]}' does not measure ${quantity(options.unit)}`)
  return canonical(number.value, unit, options)
}

/** Weight counts as volume here: a load weighed is a volume loaded. */
function quantity(unit: Unit): string {
  const { dimension } = units[unit]
  return dimension === 'weight' ? 'volume' : dimension
}

function canonical(value: number, unit: Unit, options: MeasureOptions): Read<number> {
  const fact = units[unit]
  if (fact.dimension !== 'weight') return good(value * fact.factor)
  const density = options.densityLbPerGal
  if (!density || !(density > 0)) return bad('a weight needs the density of the fluid')
  return good((value * fact.factor) / density)
}
