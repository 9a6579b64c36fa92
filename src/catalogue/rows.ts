import type { DuckDBDataChunk } from '@duckdb/node-api'
import type { Cell, Params } from '../warehouse/index.ts'
import type { ResultColumn } from './column-kind.ts'
import type { Question } from './question.ts'

/** A part of the rows: `offset` rows are left out, then at most `limit` are given. */
export type Page = { limit?: number | undefined; offset?: number | undefined }

/** An answer as a format reads it, once. */
export interface Rows {
  readonly question: Question
  readonly params: Params
  readonly columns: readonly ResultColumn[]
  /** After reading a page: whether rows remain behind it. */
  readonly hasMore: boolean
  /** The database's own chunks. */
  chunks(): AsyncGenerator<DuckDBDataChunk>
  /** Rows as arrays in the order of `columns`, one block per chunk. */
  blocks(page?: Page): AsyncGenerator<Cell[][]>
}
