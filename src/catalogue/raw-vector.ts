import type { DuckDBDataChunk } from '@duckdb/node-api'
import duckdb, { type Vector } from '@duckdb/node-bindings'

/**
 * The memory of one column of a chunk, as the database lays it out (DuckDB, C API, "Vectors"): values side by side, and a
 * bit for each value that is there, lowest first. Values that are not there hold anything.
 */
export class RawVector {
  readonly count: number
  readonly #vector: Vector

  private constructor(vector: Vector, count: number) {
    this.#vector = vector
    this.count = count
  }

  static of(chunk: DuckDBDataChunk, column: number): RawVector {
    return new RawVector(duckdb.data_chunk_get_vector(chunk.chunk, column), chunk.rowCount)
  }

  /** The values, `width` bytes each. */
  bytes(width: number): Uint8Array {
    return duckdb.vector_get_data(this.#vector, this.count * width)
  }

  words(perValue: number): Int32Array {
    const bytes = this.bytes(perValue * 4)
    return new Int32Array(bytes.buffer, bytes.byteOffset, this.count * perValue)
  }

  /** Null when every value is there. */
  validity(): Uint8Array | null {
    // The binding gives nothing, whatever its type says, for a vector without a mask.
    return (
      (duckdb.vector_get_validity(this.#vector, Math.ceil(this.count / 64) * 8) as Uint8Array | null) ?? null
    )
  }

  /** The items of all lists of a list column, one after another. */
  items(): RawVector {
    return new RawVector(
      duckdb.list_vector_get_child(this.#vector),
      duckdb.list_vector_get_size(this.#vector),
    )
  }
}

/** Text in memory is 16 bytes a value: the length, then up to 12 bytes themselves or a pointer to more. */
export function textAt(bytes: Uint8Array, words: Int32Array, row: number): string {
  const length = words[row * 4]!
  const start = bytes.byteOffset + row * 16
  if (length <= 12) return Buffer.from(bytes.buffer, start + 4, length).toString('utf8')
  const far = duckdb.get_data_from_pointer(bytes.buffer as ArrayBuffer, start + 8, length)
  return Buffer.from(far.buffer, far.byteOffset, length).toString('utf8')
}
