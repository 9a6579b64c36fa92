import {
  type DuckDBConnection,
  DuckDBDataChunk,
  DuckDBDateValue,
  DuckDBDecimalValue,
  DuckDBTimestampValue,
  type DuckDBType,
  DuckDBTypeId,
  type DuckDBValue,
  listValue,
} from '@duckdb/node-api'
import { copyNumbers, isNumbers, typeOf } from './numbers-in.ts'

export type AppendValue = number | string | boolean | bigint | null | readonly string[]
export type AppendColumns = Readonly<Record<string, ArrayLike<AppendValue>>>

const chunkRows = 2048

/**
 * Appends columns of equal length to a table, by name; columns that are not given get NULL.
 * Numbers: NaN is NULL. TIMESTAMP takes milliseconds since 1970 (or ISO text), DATE takes days since 1970 (or
 * `YYYY-MM-DD`), DECIMAL takes text, lists take arrays of text.
 * @throws Error when a column is not in the table or lengths differ.
 */
export async function appendColumns(
  connection: DuckDBConnection,
  table: string,
  columns: AppendColumns,
): Promise<void> {
  const [schema, name] = table.includes('.') ? (table.split('.') as [string, string]) : ['main', table]
  const shape = await connection.run(`SELECT * FROM ${schema}.${name} LIMIT 0`)
  const names = shape.columnNames()
  const types = shape.columnTypes()
  const given = Object.keys(columns)
  const stranger = given.find((column) => !names.includes(column))
  if (stranger) throw new Error(`${table} has no column ${stranger}`)
  const count = given.length === 0 ? 0 : columns[given[0]!]!.length
  const odd = given.find((column) => columns[column]!.length !== count)
  if (odd) throw new Error(`column ${odd} has ${columns[odd]!.length} values, others have ${count}`)
  if (count === 0) return
  const appender =
    schema === 'temp'
      ? await connection.createAppender(name, 'main', 'temp')
      : await connection.createAppender(name, schema)
  for (let start = 0; start < count; start += chunkRows) {
    const size = Math.min(chunkRows, count - start)
    const chunk = DuckDBDataChunk.create(types, size)
    names.forEach((name, index) => {
      const column = columns[name]
      if (isNumbers(column) && typeOf(column).typeId === types[index]!.typeId)
        copyNumbers(chunk, index, column.subarray(start, start + size))
      else chunk.setColumnValues(index, slice(column, types[index]!, start, size))
    })
    appender.appendDataChunk(chunk)
  }
  appender.closeSync()
}

function slice(
  column: ArrayLike<AppendValue> | undefined,
  type: DuckDBType,
  start: number,
  size: number,
): DuckDBValue[] {
  const out = new Array<DuckDBValue>(size).fill(null)
  if (!column) return out
  for (let row = 0; row < size; row++) out[row] = toDuck(column[start + row] ?? null, type)
  return out
}

function toDuck(value: AppendValue, type: DuckDBType): DuckDBValue {
  if (value === null || (typeof value === 'number' && Number.isNaN(value))) return null
  switch (type.typeId) {
    case DuckDBTypeId.TIMESTAMP:
      return new DuckDBTimestampValue(
        typeof value === 'number'
          ? BigInt(Math.round(value)) * 1000n
          : BigInt(Date.parse(String(value))) * 1000n,
      )
    case DuckDBTypeId.DATE:
      return new DuckDBDateValue(
        typeof value === 'number' ? value : Date.parse(`${String(value)}T00:00:00Z`) / 86_400_000,
      )
    case DuckDBTypeId.BIGINT:
    case DuckDBTypeId.UBIGINT:
    case DuckDBTypeId.HUGEINT:
      return BigInt(value as number | bigint | string)
    case DuckDBTypeId.BOOLEAN:
      return Boolean(value)
    case DuckDBTypeId.DECIMAL:
      return decimal(
        String(value),
        (type as { width?: number }).width ?? 18,
        (type as { scale?: number }).scale ?? 2,
      )
    case DuckDBTypeId.LIST:
      return listValue(Array.from(value as readonly string[]))
    case DuckDBTypeId.VARCHAR:
      return String(value)
    default:
      return Number(value)
  }
}

/** @throws Error when the text is no decimal or has more places than the column holds. */
function decimal(text: string, width: number, scale: number): DuckDBDecimalValue {
  const match = /^(-?)(\d+)(?:\.(\d+))?$/.exec(text)
  if (!match) throw new Error(`${text} is not a decimal number`)
  const places = match[3] ?? ''
  if (places.length > scale && /[1-9]/.test(places.slice(scale)))
    throw new Error(`${text} has more than ${scale} decimal places`)
  const digits = BigInt(`${match[2]}${places.slice(0, scale).padEnd(scale, '0')}`)
  return new DuckDBDecimalValue(match[1] ? -digits : digits, width, scale)
}
