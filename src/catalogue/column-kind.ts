import { type DuckDBDecimalType, type DuckDBType, DuckDBTypeId } from '@duckdb/node-api'

/** How a column leaves: one of a few kinds, whatever the database calls its type. */
export type ColumnKind = 'text' | 'integer' | 'number' | 'money' | 'boolean' | 'time' | 'day' | 'list'

export type ResultColumn = { name: string; kind: ColumnKind; about: string; type: DuckDBType }

const kinds: Partial<Record<DuckDBTypeId, ColumnKind>> = {
  [DuckDBTypeId.BOOLEAN]: 'boolean',
  [DuckDBTypeId.TINYINT]: 'integer',
  [DuckDBTypeId.SMALLINT]: 'integer',
  [DuckDBTypeId.INTEGER]: 'integer',
  [DuckDBTypeId.BIGINT]: 'integer',
  [DuckDBTypeId.HUGEINT]: 'integer',
  [DuckDBTypeId.UTINYINT]: 'integer',
  [DuckDBTypeId.USMALLINT]: 'integer',
  [DuckDBTypeId.UINTEGER]: 'integer',
  [DuckDBTypeId.UBIGINT]: 'integer',
  [DuckDBTypeId.UHUGEINT]: 'integer',
  [DuckDBTypeId.FLOAT]: 'number',
  [DuckDBTypeId.DOUBLE]: 'number',
  [DuckDBTypeId.DECIMAL]: 'money',
  [DuckDBTypeId.DATE]: 'day',
  [DuckDBTypeId.TIMESTAMP]: 'time',
  [DuckDBTypeId.TIMESTAMP_MS]: 'time',
  [DuckDBTypeId.TIMESTAMP_S]: 'time',
  [DuckDBTypeId.TIMESTAMP_NS]: 'time',
  [DuckDBTypeId.TIMESTAMP_TZ]: 'time',
  [DuckDBTypeId.LIST]: 'list',
}

/** Text is what remains: names, enumerations, and types that no answer should have. */
export function kindOf(type: DuckDBType): ColumnKind {
  return kinds[type.typeId] ?? 'text'
}

/** Digits behind the point of a money column (2 for amounts, 6 for unit prices). */
export function scaleOf(type: DuckDBType): number {
  return (type as DuckDBDecimalType).scale
}
