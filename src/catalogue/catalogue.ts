import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { basename, join } from 'node:path'
import type { Params, SandboxLimits, Warehouse } from '../warehouse/index.ts'
import { askHouse, askSandbox, columnsOf, Sandboxes } from './ask.ts'
import type { ResultColumn } from './column-kind.ts'
import { readQuestion } from './header.ts'
import { nearest } from './nearest.ts'
import { checkParams, type GivenParams } from './params.ts'
import { type Preparation, Prepared } from './preparation.ts'
import { QueryProblem } from './problem.ts'
import type { Question } from './question.ts'
import type { Result } from './result.ts'

export type CatalogueOptions = {
  /** The folder of the built-in questions, and the folders that users name. */
  folders: { builtIn: string; user?: readonly string[] }
  preparations?: Readonly<Record<string, Preparation>>
  /** Changes when the records do; copies for users' questions and preparations are kept as long as it stays. */
  fingerprint?: (warehouse: Warehouse) => Promise<string>
  limits?: Partial<SandboxLimits>
}

const defaultLimits: SandboxLimits = { timeMs: 30_000, rows: 1_000_000 }

/** Named questions: built-in ones and those that users brought, with the same standing. */
export class Catalogue {
  /** Files that could not become a question; the others stand. */
  readonly problems: readonly QueryProblem[]
  readonly #questions: ReadonlyMap<string, Question>
  readonly #preparations: Readonly<Record<string, Preparation>>
  readonly #limits: SandboxLimits
  readonly #fingerprint: ((warehouse: Warehouse) => Promise<string>) | null
  readonly #sandboxes: Sandboxes

  constructor(
    questions: ReadonlyMap<string, Question>,
    problems: readonly QueryProblem[],
    options: CatalogueOptions,
  ) {
    this.#questions = questions
    this.problems = problems
    this.#preparations = options.preparations ?? {}
    this.#limits = { ...defaultLimits, ...options.limits }
    this.#fingerprint = options.fingerprint ?? null
    let count = 0
    this.#sandboxes = new Sandboxes(options.fingerprint ?? (async () => `${count++}`))
  }

  /** All questions by name. */
  list(): Question[] {
    return [...this.#questions.values()].sort((a, b) => (a.name < b.name ? -1 : 1))
  }

  has(name: string): boolean {
    return this.#questions.has(name)
  }

  /** @throws QueryProblem `unknown-query`, with the nearest name. */
  describe(name: string): Question {
    const question = this.#questions.get(name)
    if (question) return question
    const near = nearest(name, this.#questions.keys())
    throw new QueryProblem(
      'unknown-query',
      `there is no query ${name}; ${near ? `did you mean ${near}?` : '"gallonage query" lists them'}`,
      near,
    )
  }

  /** Checks a name and its params without asking. @throws QueryProblem. */
  check(name: string, given: GivenParams): Params {
    return checkParams(this.describe(name), given)
  }

  /**
   * Asks a question. The result holds a connection until it is read or closed. `most`: the reader wants no more rows than
   * these, the first ones, so that the database need not put all of them in order.
   * @throws QueryProblem: unknown name or param, a bad value, a refused or failing statement, a limit.
   */
  async run(
    warehouse: Warehouse,
    name: string,
    given: GivenParams = {},
    options: { signal?: AbortSignal; most?: number } = {},
  ): Promise<Result> {
    const question = firstRows(this.describe(name), options.most)
    const params = checkParams(question, given)
    if (!question.isBuiltIn) return askSandbox(warehouse, this.#sandboxes, question, params, this.#limits)
    if (question.needs === null) return askHouse(warehouse, question, params, options.signal)
    return Prepared.of(warehouse).inTurn(async () => {
      await this.#prepare(warehouse, question, params)
      return askHouse(warehouse, question, params, options.signal)
    })
  }

  async #prepare(warehouse: Warehouse, question: Question, params: Params): Promise<void> {
    const need = question.needs!
    const preparation = this.#preparations[need]
    if (!preparation)
      throw new QueryProblem('failed', `${question.name} (${question.file}): nothing prepares "${need}"`)
    const today = new Date().toISOString().slice(0, 10)
    const state = this.#fingerprint ? `${today} ${await this.#fingerprint(warehouse)}` : null
    await Prepared.of(warehouse).see(preparation, warehouse, params, state)
  }

  /** The columns of a question with their kinds, without its rows. */
  async columns(warehouse: Warehouse, name: string): Promise<ResultColumn[]> {
    const question = this.describe(name)
    const none = checkParams(question, {})
    const empty = { ...question, sql: `SELECT * FROM (${question.sql}\n) LIMIT 0` }
    if (!question.isBuiltIn) {
      const result = await askSandbox(warehouse, this.#sandboxes, empty, none, this.#limits)
      await result.close()
      return [...result.columns]
    }
    const reader = await warehouse.reader()
    try {
      const raw = await reader.stream(empty.sql, none)
      return columnsOf(question, raw.deduplicatedColumnNames(), raw.columnTypes())
    } finally {
      await reader.close()
    }
  }

  /** Lets go of the copies that users' questions run on. */
  async close(): Promise<void> {
    await this.#sandboxes.close()
  }
}

/** Reads every `.sql` file of the folders. A file that is no question is a problem of the catalogue, not its end. */
export function loadCatalogue(options: CatalogueOptions): Catalogue {
  const questions = new Map<string, Question>()
  const problems: QueryProblem[] = []
  for (const folder of [options.folders.builtIn, ...(options.folders.user ?? [])]) {
    const isBuiltIn = folder === options.folders.builtIn
    for (const file of sqlFiles(folder, problems)) {
      try {
        const name = basename(file, '.sql')
        const known = questions.get(name)
        if (known) {
          throw new QueryProblem(
            'unreadable-query',
            `${file}: there is a query ${name} already (${known.file}); rename it`,
          )
        }
        questions.set(name, readQuestion(name, file, readFileSync(file, 'utf8'), isBuiltIn))
      } catch (error) {
        problems.push(asProblem(file, error))
      }
    }
  }
  return new Catalogue(questions, problems, options)
}

function firstRows(question: Question, most: number | undefined): Question {
  if (most === undefined) return question
  return { ...question, sql: `SELECT * FROM (${question.sql}\n) LIMIT ${Math.floor(most)}` }
}

function sqlFiles(folder: string, problems: QueryProblem[]): string[] {
  if (!existsSync(folder)) {
    problems.push(
      new QueryProblem('unreadable-query', `the folder of queries ${folder} does not exist; check --queries`),
    )
    return []
  }
  return readdirSync(folder)
    .filter((name) => name.endsWith('.sql'))
    .sort()
    .map((name) => join(folder, name))
}

function asProblem(file: string, error: unknown): QueryProblem {
  if (error instanceof QueryProblem) return error
  const text = error instanceof Error ? error.message : String(error)
  return new QueryProblem('unreadable-query', `${file}: ${text}`)
}
