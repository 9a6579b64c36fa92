import {
  type DuckDBDataChunk,
  DuckDBDateValue,
  DuckDBDecimalValue,
  DuckDBListValue,
  DuckDBStructValue,
  DuckDBTimestampMillisecondsValue,
  DuckDBTimestampNanosecondsValue,
  DuckDBTimestampSecondsValue,
  DuckDBTimestampTZValue,
  DuckDBTimestampValue,
  type DuckDBValue,
} from '@duckdb/node-api'

/** A value as it leaves the database: plain JavaScript, nothing rounded. */
export type Cell = string | number | boolean | null | Cell[] | { [name: string]: Cell }

const safe = BigInt(Number.MAX_SAFE_INTEGER)

/**
 * DuckDB value → plain JavaScript. Integers are numbers while exact (text beyond 2^53), decimals are text,
 * times ISO 8601 UTC, days `YYYY-MM-DD`.
 */
export function plain(value: DuckDBValue): Cell {
  if (
    value === null ||
    typeof value === 'string' ||
    typeof value === 'number' ||
    typeof value === 'boolean'
  ) {
    return value
  }
  if (typeof value === 'bigint') return value <= safe && value >= -safe ? Number(value) : value.toString()
  if (value instanceof DuckDBTimestampValue || value instanceof DuckDBTimestampTZValue)
    return isoTime(value.micros)
  if (value instanceof DuckDBTimestampSecondsValue) return isoTime(value.seconds * 1_000_000n)
  if (value instanceof DuckDBTimestampMillisecondsValue) return isoTime(value.millis * 1000n)
  if (value instanceof DuckDBTimestampNanosecondsValue) return isoTime(value.nanos / 1000n)
  if (value instanceof DuckDBDateValue) return value.toString()
  if (value instanceof DuckDBDecimalValue) return value.toString()
  if (value instanceof DuckDBListValue) return value.items.map(plain)
  if (value instanceof DuckDBStructValue) {
    return Object.fromEntries(Object.entries(value.entries).map(([name, entry]) => [name, plain(entry)]))
  }
  return String(value)
}

/** Microseconds since 1970 → `2026-07-04T20:05:00Z`; milliseconds are written only where there are any. */
export function isoTime(micros: bigint): string {
  const text = new Date(Number(micros / 1000n)).toISOString()
  return text.endsWith('.000Z') ? `${text.slice(0, -5)}Z` : text
}

/** The rows of one chunk as objects. */
export function chunkRows(chunk: DuckDBDataChunk, names: readonly string[]): Record<string, Cell>[] {
  const rows: Record<string, Cell>[] = Array.from({ length: chunk.rowCount }, () => ({}))
  names.forEach((name, index) => {
    chunk.visitColumnValues(index, (value, row) => {
      rows[row]![name] = plain(value)
    })
  })
  return rows
}
