import { type DuckDBDataChunk, type DuckDBResult, DuckDBTypeId } from '@duckdb/node-api'
import duckdb from '@duckdb/node-bindings'

export type NumberColumn = Float64Array
export type TextColumn = (string | null)[]

/** A result as columns: numbers (and booleans as 0/1) in `Float64Array` with NaN for NULL, everything else as text or null. */
export class Columns {
  readonly count: number
  readonly #columns: ReadonlyMap<string, NumberColumn | TextColumn>

  constructor(count: number, columns: ReadonlyMap<string, NumberColumn | TextColumn>) {
    this.count = count
    this.#columns = columns
  }

  get names(): string[] {
    return [...this.#columns.keys()]
  }

  /** @throws Error when the column is missing or holds text. */
  numbers(name: string): NumberColumn {
    const column = this.#columns.get(name)
    if (column instanceof Float64Array) return column
    throw new Error(`no number column ${name}`)
  }

  /** @throws Error when the column is missing or holds numbers. */
  text(name: string): TextColumn {
    const column = this.#columns.get(name)
    if (column && !(column instanceof Float64Array)) return column
    throw new Error(`no text column ${name}`)
  }
}

type HeldAs =
  | Float64ArrayConstructor
  | Float32ArrayConstructor
  | BigInt64ArrayConstructor
  | Int32ArrayConstructor
  | Int16ArrayConstructor
  | Int8ArrayConstructor

/** How numbers lie in the database's memory, by type; those that lie otherwise are taken one by one. */
const held = new Map<DuckDBTypeId, HeldAs>([
  [DuckDBTypeId.TINYINT, Int8Array],
  [DuckDBTypeId.SMALLINT, Int16Array],
  [DuckDBTypeId.INTEGER, Int32Array],
  [DuckDBTypeId.BIGINT, BigInt64Array],
  [DuckDBTypeId.FLOAT, Float32Array],
  [DuckDBTypeId.DOUBLE, Float64Array],
])

const otherNumbers = new Set<DuckDBTypeId>([
  DuckDBTypeId.BOOLEAN,
  DuckDBTypeId.HUGEINT,
  DuckDBTypeId.UTINYINT,
  DuckDBTypeId.USMALLINT,
  DuckDBTypeId.UINTEGER,
  DuckDBTypeId.UBIGINT,
])

export async function readColumns(result: DuckDBResult): Promise<Columns> {
  const chunks = (await result.fetchAllChunks()).filter((chunk) => chunk.rowCount > 0)
  const count = chunks.reduce((sum, chunk) => sum + chunk.rowCount, 0)
  const types = result.columnTypes()
  const columns = new Map<string, NumberColumn | TextColumn>()
  result.columnNames().forEach((name, index) => {
    const { typeId } = types[index]!
    columns.set(
      name,
      held.has(typeId)
        ? heldNumbers(chunks, index, count, held.get(typeId)!)
        : otherNumbers.has(typeId)
          ? numbersOf(chunks, index, count)
          : textOf(chunks, index, count),
    )
  })
  return new Columns(count, columns)
}

/** Copied from the database's memory: values side by side, and a bit for each that is there, lowest first. */
function heldNumbers(
  chunks: readonly DuckDBDataChunk[],
  index: number,
  count: number,
  View: HeldAs,
): NumberColumn {
  const column = new Float64Array(count)
  let offset = 0
  for (const chunk of chunks) {
    const rows = chunk.rowCount
    const vector = duckdb.data_chunk_get_vector(chunk.chunk, index)
    const bytes = duckdb.vector_get_data(vector, rows * View.BYTES_PER_ELEMENT)
    const values = new View(bytes.buffer as ArrayBuffer, bytes.byteOffset, rows)
    if (values instanceof BigInt64Array)
      for (let row = 0; row < rows; row++) column[offset + row] = Number(values[row]!)
    else column.set(values, offset)
    // The binding gives nothing, whatever its type says, for a vector in which every value is there.
    const mask = duckdb.vector_get_validity(vector, Math.ceil(rows / 64) * 8) as Uint8Array | null
    for (let row = 0; mask && row < rows; row++)
      if ((mask[row >> 3]! & (1 << (row & 7))) === 0) column[offset + row] = Number.NaN
    offset += rows
  }
  return column
}

function numbersOf(chunks: readonly DuckDBDataChunk[], index: number, count: number): NumberColumn {
  const column = new Float64Array(count)
  let offset = 0
  for (const chunk of chunks) {
    const vector = chunk.getColumnVector(index)
    for (let row = 0; row < chunk.rowCount; row++) {
      const value = vector.getItem(row)
      column[offset + row] = value === null ? Number.NaN : Number(value)
    }
    offset += chunk.rowCount
  }
  return column
}

function textOf(chunks: readonly DuckDBDataChunk[], index: number, count: number): TextColumn {
  const column = new Array<string | null>(count)
  let offset = 0
  for (const chunk of chunks) {
    const vector = chunk.getColumnVector(index)
    for (let row = 0; row < chunk.rowCount; row++) {
      const value = vector.getItem(row)
      column[offset + row] = value === null ? null : String(value)
    }
    offset += chunk.rowCount
  }
  return column
}
