import {
  type DuckDBDateValue,
  type DuckDBDecimalType,
  type DuckDBDecimalValue,
  DuckDBListValue,
  DuckDBTimestampTZValue,
  DuckDBTimestampValue,
  DuckDBTypeId,
  type DuckDBValue,
  type DuckDBVector,
} from '@duckdb/node-api'
import {
  Bool,
  type Data,
  DateDay,
  Decimal,
  Dictionary,
  Field,
  Float64,
  Int32,
  List,
  makeData,
  TimestampMillisecond,
  Utf8,
  Vector,
  vectorFromArray,
} from 'apache-arrow'
import { type Cell, plain } from '../warehouse/index.ts'
import { type ColumnKind, type ResultColumn, scaleOf } from './column-kind.ts'
import { Growing, Validity } from './growing.ts'
import { QueryProblem } from './problem.ts'

/** One column of an Arrow table while the chunks of a result arrive. */
export interface ArrowColumn {
  append(vector: DuckDBVector, count: number): void
  finish(): Data
}

const smallIntegers: ReadonlySet<DuckDBTypeId> = new Set([
  DuckDBTypeId.TINYINT,
  DuckDBTypeId.SMALLINT,
  DuckDBTypeId.INTEGER,
  DuckDBTypeId.UTINYINT,
  DuckDBTypeId.USMALLINT,
])

const makers: Record<ColumnKind, (column: ResultColumn) => ArrowColumn> = {
  text: () => new TextColumn(),
  integer: (column) =>
    smallIntegers.has(column.type.typeId) ? new IntegerColumn() : new NumberColumn(column.name),
  number: (column) => new NumberColumn(column.name),
  money: (column) => new MoneyColumn((column.type as DuckDBDecimalType).width, scaleOf(column.type)),
  boolean: () => new BooleanColumn(),
  time: () => new TimeColumn(),
  day: () => new DayColumn(),
  list: () => new ListColumn(),
}

/**
 * Text becomes dictionary-encoded utf8, integers int32 or (counts and sums, which the database holds in 64 bits or more)
 * float64, which R and JavaScript read without a big-number type and which is exact to 2^53; money decimal128, times
 * timestamp[ms, UTC], days date32, lists list<utf8>.
 */
export function arrowColumn(column: ResultColumn): ArrowColumn {
  return makers[column.kind](column)
}

class NumberColumn implements ArrowColumn {
  readonly #values = new Growing((length) => new Float64Array(length))
  readonly #validity = new Validity()
  readonly #name: string
  #length = 0

  constructor(name: string) {
    this.#name = name
  }

  append(vector: DuckDBVector, count: number): void {
    const values = this.#values.reserve(this.#length + count)
    for (let row = 0; row < count; row++) {
      const item = vector.getItem(row) as number | bigint | null
      this.#validity.mark(this.#length, item !== null)
      const value = Number(item ?? 0)
      if (typeof item === 'bigint' && !Number.isSafeInteger(value)) {
        throw new QueryProblem(
          'failed',
          `${this.#name} holds ${item}, which is beyond 2^53; cast it to text in the query`,
        )
      }
      values[this.#length++] = value
    }
  }

  finish(): Data {
    return makeData({
      type: new Float64(),
      length: this.#length,
      nullCount: this.#validity.nullCount,
      nullBitmap: this.#validity.take(this.#length),
      data: this.#values.take(this.#length),
    })
  }
}

class IntegerColumn implements ArrowColumn {
  readonly #values = new Growing((length) => new Int32Array(length))
  readonly #validity = new Validity()
  #length = 0

  append(vector: DuckDBVector, count: number): void {
    const values = this.#values.reserve(this.#length + count)
    for (let row = 0; row < count; row++) {
      const item = vector.getItem(row) as number | null
      this.#validity.mark(this.#length, item !== null)
      values[this.#length++] = item ?? 0
    }
  }

  finish(): Data {
    return makeData({
      type: new Int32(),
      length: this.#length,
      nullCount: this.#validity.nullCount,
      nullBitmap: this.#validity.take(this.#length),
      data: this.#values.take(this.#length),
    })
  }
}

class TextColumn implements ArrowColumn {
  readonly #keys = new Growing((length) => new Int32Array(length))
  readonly #validity = new Validity()
  readonly #places = new Map<string, number>()
  #length = 0

  append(vector: DuckDBVector, count: number): void {
    const keys = this.#keys.reserve(this.#length + count)
    let last: string | null = null
    let lastKey = 0
    for (let row = 0; row < count; row++) {
      const item = vector.getItem(row)
      this.#validity.mark(this.#length, item !== null)
      if (item !== null) {
        const text = typeof item === 'string' ? item : String(plain(item))
        if (text !== last) {
          last = text
          lastKey = this.#keyOf(text)
        }
      }
      keys[this.#length++] = item === null ? 0 : lastKey
    }
  }

  #keyOf(text: string): number {
    const known = this.#places.get(text)
    if (known !== undefined) return known
    this.#places.set(text, this.#places.size)
    return this.#places.size - 1
  }

  finish(): Data {
    // A reader may look at the dictionary of an all-null column, so it has one entry at least.
    const texts = this.#places.size > 0 ? [...this.#places.keys()] : ['']
    return makeData({
      type: new Dictionary(new Utf8(), new Int32()),
      length: this.#length,
      nullCount: this.#validity.nullCount,
      nullBitmap: this.#validity.take(this.#length),
      data: this.#keys.take(this.#length),
      dictionary: new Vector([utf8(texts)]),
    })
  }
}

class MoneyColumn implements ArrowColumn {
  readonly #words = new Growing((length) => new Uint32Array(length))
  readonly #validity = new Validity()
  readonly #width: number
  readonly #scale: number
  #length = 0

  constructor(width: number, scale: number) {
    this.#width = width
    this.#scale = scale
  }

  append(vector: DuckDBVector, count: number): void {
    const words = this.#words.reserve((this.#length + count) * 4)
    for (let row = 0; row < count; row++) {
      const item = vector.getItem(row) as DuckDBDecimalValue | null
      this.#validity.mark(this.#length, item !== null)
      let rest = BigInt.asUintN(128, item?.value ?? 0n)
      for (let word = 0; word < 4; word++) {
        words[this.#length * 4 + word] = Number(rest & 0xffffffffn)
        rest >>= 32n
      }
      this.#length++
    }
  }

  finish(): Data {
    return makeData({
      type: new Decimal(this.#scale, this.#width, 128),
      length: this.#length,
      nullCount: this.#validity.nullCount,
      nullBitmap: this.#validity.take(this.#length),
      data: this.#words.take(this.#length * 4),
    })
  }
}

class BooleanColumn implements ArrowColumn {
  readonly #bits = new Growing((length) => new Uint8Array(length))
  readonly #validity = new Validity()
  #length = 0

  append(vector: DuckDBVector, count: number): void {
    const bits = this.#bits.reserve((this.#length + count + 7) >> 3)
    for (let row = 0; row < count; row++) {
      const item = vector.getItem(row) as boolean | null
      this.#validity.mark(this.#length, item !== null)
      if (item) bits[this.#length >> 3] = bits[this.#length >> 3]! | (1 << (this.#length & 7))
      this.#length++
    }
  }

  finish(): Data {
    return makeData({
      type: new Bool(),
      length: this.#length,
      nullCount: this.#validity.nullCount,
      nullBitmap: this.#validity.take(this.#length),
      data: this.#bits.take((this.#length + 7) >> 3),
    })
  }
}

class TimeColumn implements ArrowColumn {
  readonly #values = new Growing((length) => new BigInt64Array(length))
  readonly #validity = new Validity()
  #length = 0

  append(vector: DuckDBVector, count: number): void {
    const values = this.#values.reserve(this.#length + count)
    for (let row = 0; row < count; row++) {
      const item = vector.getItem(row)
      this.#validity.mark(this.#length, item !== null)
      values[this.#length++] = item === null ? 0n : millisecondsOf(item)
    }
  }

  finish(): Data {
    return makeData({
      type: new TimestampMillisecond('UTC'),
      length: this.#length,
      nullCount: this.#validity.nullCount,
      nullBitmap: this.#validity.take(this.#length),
      data: this.#values.take(this.#length),
    })
  }
}

function millisecondsOf(item: DuckDBValue): bigint {
  if (item instanceof DuckDBTimestampValue || item instanceof DuckDBTimestampTZValue)
    return item.micros / 1000n
  return BigInt(Date.parse(`${String(item).replace(' ', 'T')}Z`))
}

class DayColumn implements ArrowColumn {
  readonly #days = new Growing((length) => new Int32Array(length))
  readonly #validity = new Validity()
  #length = 0

  append(vector: DuckDBVector, count: number): void {
    const days = this.#days.reserve(this.#length + count)
    for (let row = 0; row < count; row++) {
      const item = vector.getItem(row) as DuckDBDateValue | null
      this.#validity.mark(this.#length, item !== null)
      days[this.#length++] = item?.days ?? 0
    }
  }

  finish(): Data {
    return makeData({
      type: new DateDay(),
      length: this.#length,
      nullCount: this.#validity.nullCount,
      nullBitmap: this.#validity.take(this.#length),
      data: this.#days.take(this.#length),
    })
  }
}

class ListColumn implements ArrowColumn {
  readonly #offsets = new Growing((length) => new Int32Array(length))
  readonly #validity = new Validity()
  readonly #items: string[] = []
  #length = 0

  append(vector: DuckDBVector, count: number): void {
    const offsets = this.#offsets.reserve(this.#length + count + 1)
    for (let row = 0; row < count; row++) {
      const item = vector.getItem(row)
      this.#validity.mark(this.#length, item !== null)
      if (item instanceof DuckDBListValue)
        for (const entry of item.items) this.#items.push(textOf(plain(entry)))
      offsets[++this.#length] = this.#items.length
    }
  }

  finish(): Data {
    return makeData({
      type: new List(new Field('item', new Utf8(), true)),
      length: this.#length,
      nullCount: this.#validity.nullCount,
      nullBitmap: this.#validity.take(this.#length),
      valueOffsets: this.#offsets.take(this.#length + 1),
      child: utf8(this.#items),
    })
  }
}

function textOf(cell: Cell): string {
  return typeof cell === 'string' ? cell : JSON.stringify(cell)
}

function utf8(texts: readonly string[]): Data<Utf8> {
  if (texts.length === 0) {
    return makeData({
      type: new Utf8(),
      length: 0,
      nullCount: 0,
      valueOffsets: new Int32Array(1),
      data: new Uint8Array(0),
    })
  }
  return vectorFromArray(texts, new Utf8()).data[0]!
}
