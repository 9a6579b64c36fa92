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

/** How a result is to be held. */
export interface ColumnsOptions {
  /** Number columns in memory that other threads can be given uncopied. */
  readonly isShared?: boolean
  /** So many rows are expected: less is moved on the way. */
  readonly room?: number
}

const leastRoom = 2048

/** Chunk by chunk as they stream in, so that the database need not keep them. */
export async function readColumns(result: DuckDBResult, options: ColumnsOptions = {}): Promise<Columns> {
  const { isShared = false, room = leastRoom } = options
  const types = result.columnTypes()
  const parts = types.map(({ typeId }) =>
    held.has(typeId) || otherNumbers.has(typeId) ? new NumberPart(typeId, isShared, room) : new TextPart(),
  )
  let count = 0
  for (
    let chunk = await result.fetchChunk();
    chunk && chunk.rowCount > 0;
    chunk = await result.fetchChunk()
  ) {
    for (let index = 0; index < parts.length; index++) parts[index]!.add(chunk, index)
    count += chunk.rowCount
  }
  const names = result.columnNames()
  return new Columns(count, new Map(names.map((name, index) => [name, parts[index]!.values()])))
}

class NumberPart {
  readonly #typeId: DuckDBTypeId
  readonly #isShared: boolean
  #column: NumberColumn
  #count = 0

  constructor(typeId: DuckDBTypeId, isShared: boolean, room: number) {
    this.#typeId = typeId
    this.#isShared = isShared
    this.#column = this.#make(Math.max(leastRoom, room))
  }

  add(chunk: DuckDBDataChunk, index: number): void {
    const from = this.#count
    this.#count += chunk.rowCount
    if (this.#count > this.#column.length) {
      const before = this.#column
      this.#column = this.#make(Math.max(2 * before.length, this.#count))
      this.#column.set(before)
    }
    const into = this.#column.subarray(from, this.#count)
    const View = held.get(this.#typeId)
    if (View) copyHeld(chunk, index, View, into)
    else copyOthers(chunk, index, into)
  }

  values(): NumberColumn {
    return this.#column.subarray(0, this.#count)
  }

  #make(room: number): NumberColumn {
    return this.#isShared ? new Float64Array(new SharedArrayBuffer(8 * room)) : new Float64Array(room)
  }
}

class TextPart {
  readonly #column: TextColumn = []

  add(chunk: DuckDBDataChunk, index: number): void {
    const vector = chunk.getColumnVector(index)
    for (let row = 0; row < chunk.rowCount; row++) {
      const value = vector.getItem(row)
      this.#column.push(value === null ? null : String(value))
    }
  }

  values(): TextColumn {
    return this.#column
  }
}

/** From the database's memory: values side by side, and a bit for each that is there, lowest first. */
function copyHeld(chunk: DuckDBDataChunk, index: number, View: HeldAs, into: NumberColumn): void {
  const rows = chunk.rowCount
  const vector = duckdb.data_chunk_get_vector(chunk.chunk, index)
  const bytes = duckdb.vector_get_data(vector, rows * View.BYTES_PER_ELEMENT)
  const values = new View(bytes.buffer as ArrayBuffer, bytes.byteOffset, rows)
  if (values instanceof BigInt64Array) for (let row = 0; row < rows; row++) into[row] = Number(values[row]!)
  else into.set(values)
  // The binding gives nothing, whatever its type says, for a vector in which every value is there.
  const mask = duckdb.vector_get_validity(vector, Math.ceil(rows / 64) * 8) as Uint8Array | null
  if (mask === null) return
  for (let byte = 0; 8 * byte < rows; byte++) {
    if (mask[byte] === 255) continue
    const to = Math.min(8 * byte + 8, rows)
    for (let row = 8 * byte; row < to; row++)
      if ((mask[byte]! & (1 << (row & 7))) === 0) into[row] = Number.NaN
  }
}

function copyOthers(chunk: DuckDBDataChunk, index: number, into: NumberColumn): void {
  const vector = chunk.getColumnVector(index)
  for (let row = 0; row < chunk.rowCount; row++) {
    const value = vector.getItem(row)
    into[row] = value === null ? Number.NaN : Number(value)
  }
}
