import type { DuckDBDataChunk } from '@duckdb/node-api'
import { type Cell, type Params, plain } from '../warehouse/index.ts'
import type { ResultColumn } from './column-kind.ts'
import type { Question } from './question.ts'
import type { Page, Rows } from './rows.ts'
import { toCsv } from './to-csv.ts'
import { toJson } from './to-json.ts'
import { type TableOptions, toTable } from './to-table.ts'
import type { XlsxAbout } from './to-xlsx.ts'

export type ResultRow = Record<string, Cell>

export type ResultSource = {
  columns: ResultColumn[]
  chunks: AsyncIterable<DuckDBDataChunk>
  writeParquet: (path: string) => Promise<void>
  close: () => Promise<void>
}

/**
 * The answer to one question, read once: call one of the `to…` functions, or `close`.
 * Values leave as JSON has them: numbers, money as text, times `2026-07-04T20:05:00Z`, days `2026-07-04`, lists, null.
 */
export class Result implements Rows {
  readonly question: Question
  readonly params: Params
  readonly columns: readonly ResultColumn[]
  /** After reading a page: whether rows remain behind it. */
  hasMore = false
  readonly #source: ResultSource
  #isTaken = false

  constructor(question: Question, params: Params, source: ResultSource) {
    this.question = question
    this.params = params
    this.columns = source.columns
    this.#source = source
  }

  /** The database's own chunks. */
  async *chunks(): AsyncGenerator<DuckDBDataChunk> {
    if (this.#isTaken) throw new Error(`the result of ${this.question.name} was read already`)
    this.#isTaken = true
    try {
      yield* this.#source.chunks
    } finally {
      await this.#source.close()
    }
  }

  /** Rows as arrays in the order of `columns`, one block per chunk. */
  async *blocks(page: Page = {}): AsyncGenerator<Cell[][]> {
    let skip = page.offset ?? 0
    let left = page.limit ?? Number.POSITIVE_INFINITY
    for await (const chunk of this.chunks()) {
      if (skip >= chunk.rowCount) {
        skip -= chunk.rowCount
        continue
      }
      const rows = cellsOf(chunk, skip, Math.min(chunk.rowCount, skip + left))
      const isCut = skip + rows.length < chunk.rowCount
      left -= rows.length
      skip = 0
      if (rows.length > 0) yield rows
      if (left === 0) {
        this.hasMore = isCut || (await this.#hasNext())
        return
      }
    }
  }

  /** Set by `blocks` when a page ends exactly at a chunk's end; the next chunk tells. */
  async #hasNext(): Promise<boolean> {
    const next = await this.#source.chunks[Symbol.asyncIterator]().next()
    return !next.done && next.value.rowCount > 0
  }

  async toObjects(page: Page = {}): Promise<ResultRow[]> {
    const names = this.columns.map((column) => column.name)
    const rows: ResultRow[] = []
    for await (const block of this.blocks(page)) {
      for (const cells of block)
        rows.push(Object.fromEntries(names.map((name, index) => [name, cells[index]!])))
    }
    return rows
  }

  /** One JSON array of row objects, in pieces of text. */
  toJson(page: Page = {}): AsyncGenerator<string> {
    return toJson(this, page)
  }

  /** RFC 4180 with a header line, in pieces of text. */
  toCsv(page: Page = {}): AsyncGenerator<string> {
    return toCsv(this, page)
  }

  // Arrow and workbooks are loaded when they are asked for: most questions are not.
  async toArrowStream(): Promise<Uint8Array> {
    return (await import('./to-arrow.ts')).toArrowStream(this)
  }

  async toArrowFile(): Promise<Uint8Array> {
    return (await import('./to-arrow.ts')).toArrowFile(this)
  }

  async toXlsx(about: XlsxAbout = {}): Promise<Uint8Array> {
    return (await import('./to-xlsx.ts')).toXlsx(this, about)
  }

  toTable(options: TableOptions): Promise<string> {
    return toTable(this, options)
  }

  /** Writes a Parquet file from inside the database. */
  async toParquet(path: string): Promise<void> {
    this.#isTaken = true
    try {
      await this.#source.writeParquet(path)
    } finally {
      await this.#source.close()
    }
  }

  async close(): Promise<void> {
    this.#isTaken = true
    await this.#source.close()
  }
}

function cellsOf(chunk: DuckDBDataChunk, from: number, to: number): Cell[][] {
  const rows: Cell[][] = Array.from(
    { length: Math.max(0, to - from) },
    () => new Array<Cell>(chunk.columnCount),
  )
  for (let column = 0; column < chunk.columnCount; column++) {
    const vector = chunk.getColumnVector(column)
    for (let row = from; row < to; row++) rows[row - from]![column] = plain(vector.getItem(row))
  }
  return rows
}
