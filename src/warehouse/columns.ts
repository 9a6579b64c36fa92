import { type DuckDBDataChunk, type DuckDBResult, type DuckDBType, DuckDBTypeId } from '@duckdb/node-api'
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

const numeric = new Set<DuckDBTypeId>([
  DuckDBTypeId.BOOLEAN,
  DuckDBTypeId.TINYINT,
  DuckDBTypeId.SMALLINT,
  DuckDBTypeId.INTEGER,
  DuckDBTypeId.BIGINT,
  DuckDBTypeId.HUGEINT,
  DuckDBTypeId.UTINYINT,
  DuckDBTypeId.USMALLINT,
  DuckDBTypeId.UINTEGER,
  DuckDBTypeId.UBIGINT,
  DuckDBTypeId.FLOAT,
  DuckDBTypeId.DOUBLE,
])

export async function readColumns(result: DuckDBResult): Promise<Columns> {
  const chunks = await result.fetchAllChunks()
  const count = chunks.reduce((sum, chunk) => sum + chunk.rowCount, 0)
  const names = result.columnNames()
  const types = result.columnTypes()
  const columns = new Map<string, NumberColumn | TextColumn>()
  names.forEach((name, index) => {
    columns.set(
      name,
      types[index]!.typeId === DuckDBTypeId.DOUBLE
        ? doublesOf(chunks, index, count)
        : isNumeric(types[index]!)
          ? numbersOf(chunks, index, count)
          : textOf(chunks, index, count),
    )
  })
  return new Columns(count, columns)
}

function isNumeric(type: DuckDBType): boolean {
  return numeric.has(type.typeId)
}

/** Copied from the database's memory: values side by side, and a bit for each that is there, lowest first. */
function doublesOf(chunks: readonly DuckDBDataChunk[], index: number, count: number): NumberColumn {
  const column = new Float64Array(count)
  let offset = 0
  for (const chunk of chunks) {
    if (chunk.rowCount === 0) continue
    const vector = duckdb.data_chunk_get_vector(chunk.chunk, index)
    const bytes = duckdb.vector_get_data(vector, chunk.rowCount * 8)
    column.set(new Float64Array(bytes.buffer, bytes.byteOffset, chunk.rowCount), offset)
    // The binding gives nothing, whatever its type says, for a vector in which every value is there.
    const mask = duckdb.vector_get_validity(vector, Math.ceil(chunk.rowCount / 64) * 8) as Uint8Array | null
    for (let row = 0; mask && row < chunk.rowCount; row++)
      if ((mask[row >> 3]! & (1 << (row & 7))) === 0) column[offset + row] = Number.NaN
    offset += chunk.rowCount
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
