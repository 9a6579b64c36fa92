import {
  type Catalogue,
  type GivenParams,
  QueryProblem,
  type Question,
  type ResultColumn,
  type ResultRow,
} from '../catalogue/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { absent, type Block, type TableBlock } from './block.ts'
import { type Look, plainLook } from './look.ts'

export type Answer = { question: Question; columns: readonly ResultColumn[]; rows: ResultRow[] }

/** What a report may be narrowed by; each question takes those that it has. */
export type ReportParams = GivenParams

/** Asks questions for a report. The numbers are those of the questions, computed nowhere else. */
export class Asking {
  readonly questions = new Map<string, Question>()
  readonly #catalogue: Catalogue
  readonly #warehouse: Warehouse
  readonly #params: ReportParams
  /** Units and clock of the report's charts and sentences. */
  readonly look: Look

  constructor(catalogue: Catalogue, warehouse: Warehouse, params: ReportParams, look: Look = plainLook) {
    this.#catalogue = catalogue
    this.#warehouse = warehouse
    this.#params = params
    this.look = look
  }

  /** Null when the catalogue has no such question. @throws QueryProblem when it fails. */
  async ask(name: string, more: GivenParams = {}): Promise<Answer | null> {
    if (!this.#catalogue.has(name)) return null
    const question = this.#catalogue.describe(name)
    const takes = new Set(question.params.map((param) => param.name))
    const given = Object.entries({ ...this.#params, ...more }).filter(([param]) => takes.has(param))
    const result = await this.#catalogue.run(this.#warehouse, name, Object.fromEntries(given))
    const columns = result.columns
    const rows = await result.toObjects()
    this.questions.set(name, question)
    return { question, columns, rows }
  }

  /** The blocks that an answer makes, or one sentence that says why there are none. */
  async blocks(
    name: string,
    make: (answer: Answer) => Block[] | Promise<Block[]>,
    options: { nothing?: string; more?: GivenParams } = {},
  ): Promise<Block[]> {
    try {
      const answer = await this.ask(name, options.more)
      if (answer === null)
        return [absent(`This installation has no question “${name}”, so this part is left out.`)]
      if (answer.rows.length === 0) return [absent(options.nothing ?? 'Nothing on record.')]
      return await make(answer)
    } catch (error) {
      if (error instanceof QueryProblem) return [absent(`This part could not be computed: ${error.message}`)]
      throw error
    }
  }
}

/** An answer as a table with the columns named, in that order; columns that it lacks are left out. */
export function tableOf(
  answer: Answer,
  caption: string,
  names: readonly string[],
  more: Partial<TableBlock> = {},
): TableBlock {
  const columns = names.flatMap((name) => answer.columns.filter((column) => column.name === name))
  return {
    is: 'table',
    name: answer.question.name,
    caption,
    columns: columns.map(({ name, kind, about }) => ({ name, kind, about })),
    rows: answer.rows,
    ...more,
  }
}

/** Sum of a column over the rows where it is known; null where it is known nowhere. */
export function sum(rows: readonly ResultRow[], name: string): number | null {
  let total = 0
  let isKnown = false
  for (const row of rows) {
    const value = row[name]
    if (typeof value !== 'number') continue
    total += value
    isKnown = true
  }
  return isKnown ? total : null
}

/** Exact sum of a money column, as text with two decimals. */
export function sumMoney(rows: readonly ResultRow[], name: string): string {
  let cents = 0n
  for (const row of rows) {
    const value = row[name]
    if (typeof value !== 'string') continue
    const [whole, rest = ''] = value.replace('-', '').split('.') as [string, string | undefined]
    const amount = BigInt(whole + rest.padEnd(2, '0').slice(0, 2))
    cents += value.startsWith('-') ? -amount : amount
  }
  const digits = (cents < 0n ? -cents : cents).toString().padStart(3, '0')
  return `${cents < 0n ? '-' : ''}${digits.slice(0, -2)}.${digits.slice(-2)}`
}

/** How many rows fall to each value of a column, most first. */
export function tally(rows: readonly ResultRow[], ...names: string[]): { values: string[]; count: number }[] {
  const counts = new Map<string, { values: string[]; count: number }>()
  for (const row of rows) {
    const values = names.map((name) => String(row[name] ?? '–'))
    const key = values.join('\u0000')
    const known = counts.get(key)
    if (known) known.count++
    else counts.set(key, { values, count: 1 })
  }
  return [...counts.values()].sort(
    (a, b) => b.count - a.count || (a.values.join() < b.values.join() ? -1 : 1),
  )
}

/** The line of sums under a table. @param label the column that says `all`. */
export function totals(answer: Answer, names: readonly string[], label: string): ResultRow {
  return { [label]: 'all', ...Object.fromEntries(names.map((name) => [name, sum(answer.rows, name)])) }
}
