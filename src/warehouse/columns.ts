import { type DuckDBDataChunk, type DuckDBResult, type DuckDBType, DuckDBTypeId } from '@duckdb/node-api'

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
      isNumeric(types[index]!) ? numbersOf(chunks, index, count) : textOf(chunks, index, count),
    )
  })
  return new Columns(count, columns)
}

function isNumeric(type: DuckDBType): boolean {
  return numeric.has(type.typeId)
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
