import {
  type Catalogue,
  type GivenParams,
  QueryProblem,
  type Result,
  type TableOptions,
} from '../catalogue/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import type { Arguments } from './arguments.ts'
import { openCatalogue } from './catalogue.ts'
import { choose } from './choice.ts'
import type { Command } from './command.ts'
import { CommandError, type Effects, UsageError } from './effects.ts'
import { checkWritable, writeNamed } from './named-file.ts'
import { fingerprintOf, inFolder, withWarehouse } from './session.ts'
import { unknownSubjects } from './subjects.ts'

export const formats = ['table', 'json', 'csv', 'arrow', 'parquet', 'xlsx'] as const
export type Format = (typeof formats)[number]

export const outputOptions = {
  format: { type: 'string', value: 'FORMAT', about: `${formats.join(', ')} (default table)` },
  out: {
    type: 'string',
    value: 'FILE',
    about: 'write to a file; its ending names the format if --format does not',
  },
  columns: { type: 'string', value: 'NAME,...', about: 'table: which columns, in which order' },
  param: {
    type: 'string',
    multiple: true,
    value: 'NAME=VALUE',
    about: 'a param of the question; may be repeated',
  },
} as const

/** What a narrow terminal must not lose, by question. */
const firstColumns: Readonly<Record<string, readonly string[]>> = {
  quarantine: ['file', 'line', 'field', 'text', 'reason'],
}

export const queryCommand: Command = {
  name: 'query',
  summary: 'run a named question, or list them',
  usage: '[NAME] [--param k=v]...',
  options: {
    ...outputOptions,
    queries: {
      type: 'string',
      multiple: true,
      value: 'DIR',
      about: 'a folder with questions of your own (.sql)',
    },
  },
  examples: [
    'gallonage query',
    'gallonage query gallons-by-fire --param season=2026',
    'gallonage query drops --columns dropped_at,aircraft,fire,volume_gal --param season=2026',
    'gallonage query drops --param fire=F-1 --format csv --out drops.csv',
  ],
  async run(args, effects) {
    const catalogue = openCatalogue(args.all('queries').map((folder) => inFolder(effects.cwd, folder)))
    for (const problem of catalogue.problems) effects.err(`${problem.message}\n`)
    const [name] = args.positionals
    if (args.positionals.length > 1)
      throw new UsageError(`one question at a time: ${args.positionals.join(', ')}`)
    if (name === undefined) return list(catalogue, args, effects)
    return withWarehouse(args, effects, (warehouse) =>
      ask(catalogue, warehouse, name, paramsOf(args), args, effects, firstColumns[name] ?? []),
    )
  },
}

/** `--param season=2026` → `{season: '2026'}`. */
export function paramsOf(args: Arguments): GivenParams {
  const params: Record<string, string> = {}
  for (const text of args.all('param')) {
    const place = text.indexOf('=')
    if (place < 1) throw new UsageError(`--param ${text}: write it as name=value`)
    params[text.slice(0, place)] = text.slice(place + 1)
  }
  return params
}

/** Asks one question and writes the answer in the format that was asked for. */
export async function ask(
  catalogue: Catalogue,
  warehouse: Warehouse,
  name: string,
  params: GivenParams,
  args: Arguments,
  effects: Effects,
  first: readonly string[] = [],
): Promise<number> {
  const format = formatOf(args)
  const out = args.text('out')
  const path = out === null ? null : inFolder(effects.cwd, out)
  if (path !== null) checkWritable(path)
  else if (format === 'parquet') throw new UsageError('Parquet needs a file: give --out FILE.parquet')
  else if (format === 'xlsx' && effects.isTerminal)
    throw new UsageError('a workbook needs a file: give --out FILE.xlsx')
  const result = await catalogue.run(warehouse, name, params).catch((error) => {
    if (
      error instanceof QueryProblem &&
      ['unknown-query', 'unknown-param', 'bad-param', 'bad-value'].includes(error.code)
    )
      throw new UsageError(error.message)
    if (error instanceof QueryProblem) throw new CommandError(error.message)
    throw error
  })
  if (!args.flag('quiet'))
    for (const hint of await unknownSubjects(warehouse, params)) effects.err(`${hint}\n`)
  const only = args
    .text('columns')
    ?.split(',')
    .map((name) => name.trim())
  if (only !== undefined && format !== 'table')
    throw new UsageError(`--columns is for tables; ${format} has them all`)
  const shown = { first, ...(only ? { only } : {}) }
  await deliver(result, format, path, warehouse, effects, shown).catch((error) => {
    if (error instanceof QueryProblem && error.code === 'bad-param') throw new UsageError(error.message)
    throw error
  })
  if (path !== null && args.flag('json')) effects.out(`${JSON.stringify({ written: path })}\n`)
  if (out !== null && !args.flag('quiet')) effects.err(`wrote ${out}\n`)
  return 0
}

function formatOf(args: Arguments): Format {
  const named = args.text('format')
  const out = args.text('out')
  // With a file to write, standard output has one JSON document that says which.
  if (args.flag('json') && out === null) return 'json'
  if (named !== null) return choose('a format', named, formats)
  const ending = out?.split('.').at(-1)
  return formats.find((format) => format === ending) ?? (args.flag('json') ? 'json' : 'table')
}

async function deliver(
  result: Result,
  format: Format,
  path: string | null,
  warehouse: Warehouse,
  effects: Effects,
  shown: Pick<TableOptions, 'first' | 'only'>,
): Promise<void> {
  if (format === 'table') {
    const text = await result.toTable({
      ...shown,
      width: effects.columns,
      isColoured: effects.hasColor && path === null,
    })
    return path === null ? effects.out(text) : writeNamed(path, text)
  }
  if (format === 'json' || format === 'csv') {
    const pieces = format === 'json' ? result.toJson() : result.toCsv()
    if (path === null) {
      for await (const piece of pieces) effects.out(piece)
    } else await writeNamed(path, pieces)
    return
  }
  if (format === 'parquet') return result.toParquet(path!)
  const bytes =
    format === 'arrow'
      ? await result.toArrowFile()
      : await result.toXlsx({ fingerprint: await fingerprintOf(warehouse), madeAt: effects.now() })
  if (path !== null) await writeNamed(path, bytes)
  else effects.outBytes(bytes)
}

function list(catalogue: Catalogue, args: Arguments, effects: Effects): number {
  const questions = catalogue.list()
  if (args.flag('json')) {
    effects.out(
      `${JSON.stringify(
        questions.map(({ name, title, grain, params, columns }) => ({
          name,
          title,
          grain,
          params: params.map((param) => param.name),
          columns,
        })),
        null,
        2,
      )}\n`,
    )
    return 0
  }
  for (const question of questions) {
    effects.out(
      `${question.name}\n  ${question.title}; ${question.grain}\n  takes: ${question.params.map((param) => param.name).join(', ') || 'nothing'}\n  gives: ${question.columns.map((column) => column.name).join(', ')}\n`,
    )
  }
  return 0
}
