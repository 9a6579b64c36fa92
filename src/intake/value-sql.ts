import { type Column, sqlTypes } from '../kinds/index.ts'
import type { ProfileField } from '../sources/index.ts'
import { defaultDensity, type Unit } from '../values/index.ts'
import { quote } from '../values/sql/write.ts'
import { sqlValue } from '../values/sql.ts'
import { canonicalUnit, offsetPattern } from './column-reader.ts'
import { type ColumnText, isKeptText, mapName, type Plan, zoneSql } from './plan.ts'

/** SQL of a column's value: from the map of its texts where there is one, else from its text `t<index>`; NULL where it cannot be read. */
export function valueSql(plan: Plan, one: ColumnText, index: number): string {
  if (!plan.fewTexts.has(index)) return rowValueSql(plan, one, index)
  const map = mapName(index)
  // A weight needs the density of its row's fluid, which the map does not know.
  return canonicalUnit[one.column.type] === 'gal_us'
    ? `coalesce(${map}.value, CASE WHEN ${map}.is_weight THEN ${rowValueSql(plan, one, index)} END)`
    : `${map}.value`
}

/** SQL of a bulk column's value from the text `text`, for a map of its distinct texts. */
export function mappedValueSql(
  plan: Plan,
  one: ColumnText,
  densityLbPerGal: number | null = plan.profile.densityLbPerGal,
): string {
  const { decimal } = plan.profile
  const { column, field } = one
  if (column.type === 'number') return sqlValue.number('text', { decimal })
  return sqlValue.measure('text', {
    decimal,
    unit: unitOf(column, field),
    densityLbPerGal,
  })
}

/** SQL: is the text `text` a weight, which a volume becomes only with the density of its row's fluid? */
export function isWeightSql(plan: Plan, one: ColumnText): string {
  if (canonicalUnit[one.column.type] !== 'gal_us' || plan.profile.densityLbPerGal !== null) return 'false'
  return `(${mappedValueSql(plan, one, 1)}) IS NOT NULL`
}

/** Column types that may be read through a map of their distinct texts. */
export const mappableTypes: ReadonlySet<Column['type']> = new Set([
  'number',
  'volume',
  'length',
  'speed',
  'duration',
])

function rowValueSql(plan: Plan, one: ColumnText, index: number): string {
  const { column, field } = one
  const text = `t${index}`
  const { decimal } = plan.profile
  switch (column.type) {
    case 'time':
      return timeSql(plan, field, text)
    case 'date':
      return sqlValue.date(text, field?.formats)
    case 'number':
      return sqlValue.number(text, { decimal })
    case 'integer':
      return `CASE WHEN ${sqlValue.number(text, { decimal })} % 1 = 0 THEN TRY_CAST(${sqlValue.number(text, { decimal })} AS INTEGER) END`
    case 'price':
    case 'money':
      return moneySql(text, decimal, sqlTypes[column.type])
    case 'volume':
    case 'length':
    case 'speed':
    case 'duration':
      return sqlValue.measure(text, {
        decimal,
        unit: unitOf(column, field),
        densityLbPerGal: densitySql(plan),
      })
    case 'angle': {
      const axis = column.name === 'latitude' ? 'lat' : 'lon'
      const read = one.isPair
        ? axis === 'lat'
          ? sqlValue.pairLat(text, { decimal })
          : sqlValue.pairLon(text, { decimal })
        : sqlValue.angle(text, { axis, decimal })
      return one.isPair ? `coalesce(${read}, grid.${column.name})` : read
    }
    default:
      return isKeptText(column) ? `val.tidy(${text})` : `${mapName(index)}.value`
  }
}

function timeSql(plan: Plan, field: ProfileField | null, text: string): string {
  const zone = zoneSql(plan, field)
  const named = zone ?? { name: 'UTC' }
  const formats = field?.formats ?? []
  const iso = () => sqlValue.time(text, { zone: named })
  const exact = (read: string) =>
    zone !== null
      ? read
      : `CASE WHEN regexp_matches(${text}, ${quote(`${offsetPattern.slice(0, -1)} *$`)}) THEN ${read} END`
  if (formats.length === 0) return exact(iso())
  const read = sqlValue.time(text, { formats, zone: named })
  // Date cells of a workbook arrive as ISO text, whatever format they were shown in.
  return plan.profile.format === 'xlsx' ? `coalesce(${read}, ${exact(iso())})` : read
}

/** Exact decimal: digits are read as text and never pass through a binary fraction. */
function moneySql(text: string, decimal: '.' | ',', type: string): string {
  const swapped =
    decimal === ',' ? `replace(replace(${text}, '.', ''), ',', '.')` : `replace(${text}, ',', '')`
  const bare = `regexp_replace(val.tidy(${swapped}), '[ $€£]', '', 'g')`
  return `CASE WHEN regexp_full_match(${bare}, '[-+]?[0-9]{1,12}([.][0-9]{0,6})?') THEN TRY_CAST(${bare} AS ${type}) END`
}

export function unitOf(column: Column, field: ProfileField | null): Unit {
  return field?.unit ?? canonicalUnit[column.type]!
}

/** Pounds per gallon of the row: the profile's, else by the row's fluid. */
function densitySql(plan: Plan): number | string | null {
  if (plan.profile.densityLbPerGal !== null) return plan.profile.densityLbPerGal
  const index = plan.columns.findIndex((one) => one.column.name === 'fluid')
  if (index < 0 || plan.columns[index]!.text === null) return null
  const cases = Object.entries(defaultDensity).map(([fluid, density]) => `WHEN '${fluid}' THEN ${density}`)
  return `CASE ${mapName(index)}.value ${cases.join(' ')} END`
}
