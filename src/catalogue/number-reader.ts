import { DuckDBTypeId } from '@duckdb/node-api'
import type { ResultColumn } from './column-kind.ts'
import { QueryProblem } from './problem.ts'
import type { RawVector } from './raw-vector.ts'

/** Puts the numbers of a vector into `into` from `at` on; where there is none, anything. */
export type NumberReader = (
  vector: RawVector,
  mask: Uint8Array | null,
  into: Float64Array,
  at: number,
) => void

type View = new (buffer: ArrayBufferLike, offset: number, length: number) => ArrayLike<number>

const views: Partial<Record<DuckDBTypeId, { View: View; width: number }>> = {
  [DuckDBTypeId.TINYINT]: { View: Int8Array, width: 1 },
  [DuckDBTypeId.UTINYINT]: { View: Uint8Array, width: 1 },
  [DuckDBTypeId.SMALLINT]: { View: Int16Array, width: 2 },
  [DuckDBTypeId.USMALLINT]: { View: Uint16Array, width: 2 },
  [DuckDBTypeId.INTEGER]: { View: Int32Array, width: 4 },
  [DuckDBTypeId.UINTEGER]: { View: Uint32Array, width: 4 },
  [DuckDBTypeId.FLOAT]: { View: Float32Array, width: 4 },
  [DuckDBTypeId.DOUBLE]: { View: Float64Array, width: 8 },
}

const two32 = 2 ** 32

/** How a number column is read from memory. Integers of 64 bits or more are refused beyond 2^53, not rounded. */
export function readerOf(column: ResultColumn): NumberReader {
  const simple = views[column.type.typeId]
  if (simple) {
    return (vector, _mask, into, at) => {
      const bytes = vector.bytes(simple.width)
      into.set(new simple.View(bytes.buffer, bytes.byteOffset, vector.count), at)
    }
  }
  const isSigned = column.type.typeId === DuckDBTypeId.BIGINT || column.type.typeId === DuckDBTypeId.HUGEINT
  const isWide = column.type.typeId === DuckDBTypeId.HUGEINT || column.type.typeId === DuckDBTypeId.UHUGEINT
  const perValue = isWide ? 4 : 2
  return (vector, mask, into, at) => {
    const words = vector.words(perValue)
    for (let row = 0; row < vector.count; row++) {
      const isThere = mask === null || (mask[row >> 3]! & (1 << (row & 7))) !== 0
      into[at + row] = isThere ? exact(words, row * perValue, perValue, isSigned, column.name) : 0
    }
  }
}

/** Two's complement words, lowest first → a number that is exactly that integer. */
function exact(words: Int32Array, from: number, count: number, isSigned: boolean, name: string): number {
  const isNegative = isSigned && words[from + count - 1]! < 0
  let value = 0
  for (let word = count - 1; word >= 0; word--) {
    const bits = words[from + word]!
    value = value * two32 + ((isNegative ? ~bits : bits) >>> 0)
  }
  const number = isNegative ? -value - 1 : value
  if (Number.isSafeInteger(number)) return number
  throw new QueryProblem('failed', `${name} holds an integer beyond 2^53; cast it to text in the query`)
}
