import type { DuckDBDataChunk, DuckDBResult, DuckDBType } from '@duckdb/node-api'
import { type Params, Sandbox, SandboxLimit, type SandboxLimits, type Warehouse } from '../warehouse/index.ts'
import { kindOf, type ResultColumn } from './column-kind.ts'
import { QueryProblem } from './problem.ts'
import type { Question } from './question.ts'
import { Result } from './result.ts'
import { readsOf } from './statement.ts'

/** Runs a built-in question on a connection of its own; chunks stream out of it. */
export async function askHouse(
  warehouse: Warehouse,
  question: Question,
  params: Params,
  signal?: AbortSignal,
): Promise<Result> {
  const reader = await warehouse.reader()
  const stop = (): void => reader.interrupt()
  const close = async (): Promise<void> => {
    signal?.removeEventListener('abort', stop)
    await reader.close()
  }
  signal?.addEventListener('abort', stop, { once: true })
  try {
    const raw = await reader.stream(question.sql, params)
    return new Result(question, params, {
      columns: columnsOf(question, raw.deduplicatedColumnNames(), raw.columnTypes()),
      chunks: chunksOf(raw),
      writeParquet: (path) =>
        reader.run(`COPY (${question.sql}\n) TO '${path.replaceAll("'", "''")}' (FORMAT parquet)`, params),
      close: onceOnly(close),
    })
  } catch (error) {
    await close()
    throw failed(question, error)
  }
}

/** Runs a user's question on a copy of what it reads; all rows are gathered, within the limits. */
export async function askSandbox(
  warehouse: Warehouse,
  sandboxes: Sandboxes,
  question: Question,
  params: Params,
  limits: SandboxLimits,
): Promise<Result> {
  const sandbox = await sandboxes.for(warehouse, question)
  try {
    const { names, types, chunks } = await sandbox.rows(question.sql, params, limits)
    return new Result(question, params, {
      columns: columnsOf(question, names, types),
      chunks: (async function* () {
        yield* chunks
      })(),
      writeParquet: (path) => sandbox.writeParquet(question.sql, params, path, limits),
      close: async () => undefined,
    })
  } catch (error) {
    if (!(error instanceof SandboxLimit)) throw failed(question, error)
    if (error.limit === 'time') {
      throw new QueryProblem(
        'too-slow',
        `${question.name} was stopped after ${limits.timeMs / 1000} s; narrow it, or join fewer rows`,
      )
    }
    throw new QueryProblem(
      'too-many-rows',
      `${question.name} gives more than ${limits.rows.toLocaleString('en-US')} rows; narrow it, or add a LIMIT`,
    )
  }
}

/** Keeps the copies that users' questions run on, one per warehouse, made anew when the records change. */
export class Sandboxes {
  readonly #mark: (warehouse: Warehouse) => Promise<string>
  readonly #kept = new Map<Warehouse, { mark: string; holds: Set<string>; sandbox: Sandbox }>()
  #turn: Promise<unknown> = Promise.resolve()

  constructor(mark: (warehouse: Warehouse) => Promise<string>) {
    this.#mark = mark
  }

  for(warehouse: Warehouse, question: Question): Promise<Sandbox> {
    const turn = this.#turn.then(() => this.#make(warehouse, question))
    this.#turn = turn.catch(() => undefined)
    return turn
  }

  async #make(warehouse: Warehouse, question: Question): Promise<Sandbox> {
    const looking = await warehouse.reader()
    const reads = await readsOf(looking, question.name, question.sql).finally(() => looking.close())
    const mark = await this.#mark(warehouse)
    const needed = new Set([...reads.tables, ...reads.macros].map((entry) => `${entry.schema}.${entry.name}`))
    const kept = this.#kept.get(warehouse)
    if (kept?.mark === mark && [...needed].every((name) => kept.holds.has(name))) return kept.sandbox
    const sandbox = await Sandbox.copyOf(warehouse, reads.tables, reads.macros)
    this.#kept.set(warehouse, { mark, holds: needed, sandbox })
    await kept?.sandbox.close()
    return sandbox
  }

  async close(): Promise<void> {
    await this.#turn
    for (const { sandbox } of this.#kept.values()) await sandbox.close()
    this.#kept.clear()
  }
}

export function columnsOf(
  question: Question,
  names: readonly string[],
  types: readonly DuckDBType[],
): ResultColumn[] {
  const about = new Map(question.columns.map((column) => [column.name, column.about]))
  return names.map((name, index) => ({
    name,
    kind: kindOf(types[index]!),
    about: about.get(name) ?? '',
    type: types[index]!,
  }))
}

async function* chunksOf(result: DuckDBResult): AsyncGenerator<DuckDBDataChunk> {
  for (let chunk = await result.fetchChunk(); chunk && chunk.rowCount > 0; chunk = await result.fetchChunk())
    yield chunk
}

function onceOnly(work: () => Promise<void>): () => Promise<void> {
  let done: Promise<void> | null = null
  return () => {
    done ??= work()
    return done
  }
}

/** The first line of the database's message says what is wrong; the rest repeats the statement. */
function failed(question: Question, error: unknown): QueryProblem {
  if (error instanceof QueryProblem) return error
  const text = error instanceof Error ? error.message : String(error)
  return new QueryProblem('failed', `${question.name} (${question.file}): ${text.split('\n')[0]}`)
}
