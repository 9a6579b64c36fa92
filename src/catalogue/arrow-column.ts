import {
  type DuckDBDataChunk,
  type DuckDBDecimalType,
  type DuckDBListType,
  type DuckDBType,
  DuckDBTypeId,
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
} from 'apache-arrow'
import { type Cell, plain } from '../warehouse/index.ts'
import { type ColumnKind, type ResultColumn, scaleOf } from './column-kind.ts'
import { Growing, Validity } from './growing.ts'
import { type NumberReader, readerOf } from './number-reader.ts'
import { RawVector } from './raw-vector.ts'
import { TextKeys } from './text-keys.ts'

/** One column of an Arrow table while the chunks of a result arrive. */
export interface ArrowColumn {
  append(chunk: DuckDBDataChunk, index: number): void
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
  text: (column) => (column.type.typeId === DuckDBTypeId.VARCHAR ? new TextColumn() : new OtherColumn()),
  integer: (column) => new NumberColumn(readerOf(column), smallIntegers.has(column.type.typeId)),
  number: (column) => new NumberColumn(readerOf(column), false),
  money: (column) => new MoneyColumn(column.type as DuckDBDecimalType),
  boolean: () => new BooleanColumn(),
  time: (column) => new TimeColumn(column.type.typeId),
  day: () => new DayColumn(),
  list: (column) => (isTextList(column.type) ? new ListColumn() : new OtherColumn()),
}

/**
 * Text becomes dictionary-encoded utf8, integers int32 or (counts and sums, which the database holds in 64 bits or more)
 * float64, which R and JavaScript read without a big-number type and which is exact to 2^53; money decimal128, times
 * timestamp[ms, UTC], days date32, lists of text list<utf8>, anything else text.
 */
export function arrowColumn(column: ResultColumn): ArrowColumn {
  return makers[column.kind](column)
}

function isTextList(type: DuckDBType): boolean {
  return (type as DuckDBListType).valueType.typeId === DuckDBTypeId.VARCHAR
}

class NumberColumn implements ArrowColumn {
  readonly #values = new Growing((length) => new Float64Array(length))
  readonly #validity = new Validity()
  readonly #read: NumberReader
  readonly #isSmall: boolean
  #length = 0

  constructor(read: NumberReader, isSmall: boolean) {
    this.#read = read
    this.#isSmall = isSmall
  }

  append(chunk: DuckDBDataChunk, index: number): void {
    const vector = RawVector.of(chunk, index)
    const mask = vector.validity()
    this.#validity.append(mask, vector.count)
    this.#read(vector, mask, this.#values.reserve(this.#length + vector.count), this.#length)
    this.#length += vector.count
  }

  finish(): Data {
    const values = this.#values.take(this.#length)
    const { nullCount } = this.#validity
    const props = { length: this.#length, nullCount, nullBitmap: this.#validity.take() }
    if (this.#isSmall) return makeData({ ...props, type: new Int32(), data: Int32Array.from(values) })
    return makeData({ ...props, type: new Float64(), data: values })
  }
}

class TextColumn implements ArrowColumn {
  readonly #keys = new Growing((length) => new Int32Array(length))
  readonly #known = new TextKeys()
  readonly #validity = new Validity()
  #length = 0

  append(chunk: DuckDBDataChunk, index: number): void {
    const vector = RawVector.of(chunk, index)
    this.#validity.append(vector.validity(), vector.count)
    this.#known.read(vector, this.#keys.reserve(this.#length + vector.count), this.#length)
    this.#length += vector.count
  }

  finish(): Data {
    return dictionary(this.#keys.take(this.#length), this.#known.texts, this.#validity)
  }
}

/** Types that no answer of the house has; what a user's query may bring, as text. */
class OtherColumn implements ArrowColumn {
  readonly #keys: number[] = []
  readonly #places = new Map<string, number>()
  readonly #validity = new Validity()

  append(chunk: DuckDBDataChunk, index: number): void {
    this.#validity.append(RawVector.of(chunk, index).validity(), chunk.rowCount)
    for (const value of chunk.getColumnValues(index)) {
      const text = value === null ? null : textOf(plain(value))
      if (text !== null && !this.#places.has(text)) this.#places.set(text, this.#places.size)
      this.#keys.push(text === null ? -1 : this.#places.get(text)!)
    }
  }

  finish(): Data {
    return dictionary(Int32Array.from(this.#keys), [...this.#places.keys()], this.#validity)
  }
}

function dictionary(keys: Int32Array, texts: readonly string[], validity: Validity): Data {
  for (let row = 0; row < keys.length; row++) if (keys[row]! < 0) keys[row] = 0
  return makeData({
    type: new Dictionary(new Utf8(), new Int32()),
    length: keys.length,
    nullCount: validity.nullCount,
    nullBitmap: validity.take(),
    data: keys,
    // A reader may look at the dictionary of an all-null column, so it has one entry at least.
    dictionary: new Vector([utf8(texts.length > 0 ? texts : [''])]),
  })
}

/** Bytes of a decimal by its width (DuckDB, C API: 16, 32, 64 or 128 bits for up to 4, 9, 18, 38 digits). */
function decimalBytes(width: number): 2 | 4 | 8 | 16 {
  return width <= 4 ? 2 : width <= 9 ? 4 : width <= 18 ? 8 : 16
}

class MoneyColumn implements ArrowColumn {
  readonly #words = new Growing((length) => new Int32Array(length))
  readonly #validity = new Validity()
  readonly #type: DuckDBDecimalType
  #length = 0

  constructor(type: DuckDBDecimalType) {
    this.#type = type
  }

  append(chunk: DuckDBDataChunk, index: number): void {
    const vector = RawVector.of(chunk, index)
    const width = decimalBytes(this.#type.width)
    const bytes = vector.bytes(width)
    const given =
      width === 2
        ? Int32Array.from(new Int16Array(bytes.buffer, bytes.byteOffset, vector.count))
        : new Int32Array(bytes.buffer, bytes.byteOffset, (vector.count * width) / 4)
    const perValue = given.length / Math.max(1, vector.count)
    const words = this.#words.reserve((this.#length + vector.count) * 4)
    for (let row = 0; row < vector.count; row++) {
      const sign = given[row * perValue + perValue - 1]! < 0 ? -1 : 0
      for (let word = 0; word < 4; word++) {
        words[(this.#length + row) * 4 + word] = word < perValue ? given[row * perValue + word]! : sign
      }
    }
    this.#validity.append(vector.validity(), vector.count)
    this.#length += vector.count
  }

  finish(): Data {
    const words = this.#words.take(this.#length * 4)
    return makeData({
      type: new Decimal(scaleOf(this.#type), this.#type.width, 128),
      length: this.#length,
      nullCount: this.#validity.nullCount,
      nullBitmap: this.#validity.take(),
      data: new Uint32Array(words.buffer, words.byteOffset, words.length),
    })
  }
}

class BooleanColumn implements ArrowColumn {
  readonly #bits = new Growing((length) => new Uint8Array(length))
  readonly #validity = new Validity()
  #length = 0

  append(chunk: DuckDBDataChunk, index: number): void {
    const vector = RawVector.of(chunk, index)
    const bytes = vector.bytes(1)
    const bits = this.#bits.reserve((this.#length + vector.count + 7) >> 3)
    for (let row = 0; row < vector.count; row++) {
      const at = this.#length + row
      if (bytes[row] === 1) bits[at >> 3]! |= 1 << (at & 7)
    }
    this.#validity.append(vector.validity(), vector.count)
    this.#length += vector.count
  }

  finish(): Data {
    return makeData({
      type: new Bool(),
      length: this.#length,
      nullCount: this.#validity.nullCount,
      nullBitmap: this.#validity.take(),
      data: this.#bits.take((this.#length + 7) >> 3),
    })
  }
}

/** What one tick of a time type is, in ticks per millisecond; a second is the thousandth. */
const ticksPerMs: Partial<Record<DuckDBTypeId, number>> = {
  [DuckDBTypeId.TIMESTAMP_S]: 1 / 1000,
  [DuckDBTypeId.TIMESTAMP_MS]: 1,
  [DuckDBTypeId.TIMESTAMP]: 1000,
  [DuckDBTypeId.TIMESTAMP_TZ]: 1000,
  [DuckDBTypeId.TIMESTAMP_NS]: 1_000_000,
}

const two32 = 2 ** 32

class TimeColumn implements ArrowColumn {
  readonly #words = new Growing((length) => new Int32Array(length))
  readonly #validity = new Validity()
  readonly #ticks: number
  #length = 0

  constructor(type: DuckDBTypeId) {
    this.#ticks = ticksPerMs[type]!
  }

  append(chunk: DuckDBDataChunk, index: number): void {
    const vector = RawVector.of(chunk, index)
    const given = vector.words(2)
    const words = this.#words.reserve((this.#length + vector.count) * 2)
    for (let row = 0; row < vector.count; row++) {
      const time = Math.floor((given[row * 2 + 1]! * two32 + (given[row * 2]! >>> 0)) / this.#ticks)
      words[(this.#length + row) * 2] = (time % two32) | 0
      words[(this.#length + row) * 2 + 1] = Math.floor(time / two32)
    }
    this.#validity.append(vector.validity(), vector.count)
    this.#length += vector.count
  }

  finish(): Data {
    const words = this.#words.take(this.#length * 2)
    return makeData({
      type: new TimestampMillisecond('UTC'),
      length: this.#length,
      nullCount: this.#validity.nullCount,
      nullBitmap: this.#validity.take(),
      data: new BigInt64Array(words.buffer, words.byteOffset, this.#length),
    })
  }
}

class DayColumn implements ArrowColumn {
  readonly #days = new Growing((length) => new Int32Array(length))
  readonly #validity = new Validity()
  #length = 0

  append(chunk: DuckDBDataChunk, index: number): void {
    const vector = RawVector.of(chunk, index)
    this.#days.reserve(this.#length + vector.count).set(vector.words(1), this.#length)
    this.#validity.append(vector.validity(), vector.count)
    this.#length += vector.count
  }

  finish(): Data {
    return makeData({
      type: new DateDay(),
      length: this.#length,
      nullCount: this.#validity.nullCount,
      nullBitmap: this.#validity.take(),
      data: this.#days.take(this.#length),
    })
  }
}

class ListColumn implements ArrowColumn {
  readonly #offsets = new Growing((length) => new Int32Array(length))
  readonly #keys = new Growing((length) => new Int32Array(length))
  readonly #known = new TextKeys()
  readonly #validity = new Validity()
  #items = 0
  #length = 0

  append(chunk: DuckDBDataChunk, index: number): void {
    const vector = RawVector.of(chunk, index)
    const mask = vector.validity()
    this.#validity.append(mask, vector.count)
    const offsets = this.#offsets.reserve(this.#length + vector.count + 1)
    const entries = vector.words(4)
    const keys = this.#keysOf(vector)
    for (let row = 0; row < vector.count; row++) {
      const isThere = mask === null || (mask[row >> 3]! & (1 << (row & 7))) !== 0
      const [from, count] = isThere ? [entries[row * 4]!, entries[row * 4 + 2]!] : [0, 0]
      this.#keys.reserve(this.#items + count).set(keys.subarray(from, from + count), this.#items)
      this.#items += count
      offsets[++this.#length] = this.#items
    }
  }

  #keysOf(vector: RawVector): Int32Array {
    const items = vector.items()
    const keys = new Int32Array(items.count)
    this.#known.read(items, keys, 0)
    return keys
  }

  finish(): Data {
    const keys = this.#keys.take(this.#items)
    const { texts } = this.#known
    return makeData({
      type: new List(new Field('item', new Utf8(), true)),
      length: this.#length,
      nullCount: this.#validity.nullCount,
      nullBitmap: this.#validity.take(),
      valueOffsets: this.#offsets.take(this.#length + 1),
      child: utf8(Array.from(keys, (key) => texts[key] ?? '')),
    })
  }
}

function textOf(cell: Cell): string {
  return typeof cell === 'string' ? cell : JSON.stringify(cell)
}

function utf8(texts: readonly string[]): Data<Utf8> {
  const offsets = new Int32Array(texts.length + 1)
  const joined = texts.join('')
  const data = Buffer.from(joined, 'utf8')
  const isAscii = data.length === joined.length
  texts.forEach((text, index) => {
    offsets[index + 1] = offsets[index]! + (isAscii ? text.length : Buffer.byteLength(text))
  })
  return makeData({
    type: new Utf8(),
    length: texts.length,
    nullCount: 0,
    valueOffsets: offsets,
    data: new Uint8Array(data),
  })
}
