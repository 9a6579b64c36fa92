import { DOUBLE, type DuckDBDataChunk, type DuckDBType, INTEGER, SMALLINT, TINYINT } from '@duckdb/node-api'
import duckdb from '@duckdb/node-bindings'

/** Numbers that lie in an array as they do in the database's memory. */
export type Numbers = Float64Array | Int32Array | Int16Array | Int8Array

export function isNumbers(column: unknown): column is Numbers {
  return (
    column instanceof Float64Array ||
    column instanceof Int32Array ||
    column instanceof Int16Array ||
    column instanceof Int8Array
  )
}

/** What the database calls them. */
export function typeOf(numbers: Numbers): DuckDBType {
  if (numbers instanceof Float64Array) return DOUBLE
  if (numbers instanceof Int32Array) return INTEGER
  return numbers instanceof Int16Array ? SMALLINT : TINYINT
}

/** Into the database's memory as they are: values side by side, and, where one is NaN, a bit for each that is there, lowest first. */
export function copyNumbers(chunk: DuckDBDataChunk, index: number, values: Numbers): void {
  const vector = duckdb.data_chunk_get_vector(chunk.chunk, index)
  duckdb.copy_data_to_vector(vector, 0, values.buffer as ArrayBuffer, values.byteOffset, values.byteLength)
  if (!(values instanceof Float64Array)) return
  let mask: Uint8Array | null = null
  for (let row = 0; row < values.length; row++) {
    if (!Number.isNaN(values[row]!)) continue
    mask ??= new Uint8Array(8 * Math.ceil(values.length / 64)).fill(255)
    mask[row >> 3]! &= ~(1 << (row & 7))
  }
  if (mask === null) return
  duckdb.vector_ensure_validity_writable(vector)
  duckdb.copy_data_to_vector_validity(vector, 0, mask.buffer as ArrayBuffer, 0, mask.byteLength)
}
