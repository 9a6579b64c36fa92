import { writeFile } from 'node:fs/promises'
import { reconcileWorkbook } from '../report/index.ts'
import type { Arguments, OptionSpecs } from './arguments.ts'
import { openCatalogue } from './catalogue.ts'
import type { Command } from './command.ts'
import { type Effects, UsageError } from './effects.ts'
import { ask, outputOptions, paramsOf } from './query.ts'
import { inFolder, withWarehouse } from './session.ts'

/** A verb that asks one question, with the params people give most as options. */
function shortcut(
  name: string,
  summary: string,
  question: string,
  options: OptionSpecs,
  examples: readonly string[],
  note?: string,
): Command {
  return {
    name,
    summary,
    usage: '[options]',
    options: { ...options, ...outputOptions },
    examples,
    async run(args, effects) {
      if (args.positionals.length > 0)
        throw new UsageError(`${name} takes options only, not ${args.positionals.join(' ')}`)
      const code = await withWarehouse(args, effects, (warehouse) =>
        ask(openCatalogue(), warehouse, question, given(args, options), args, effects),
      )
      if (note && !args.flag('json') && !args.flag('quiet')) effects.err(`${note}\n`)
      return code
    },
  }
}

function given(args: Arguments, options: OptionSpecs): Record<string, string> {
  const own = Object.keys(options).flatMap((name) => {
    const value = args.text(name)
    return value === null ? [] : [[name.replaceAll('-', '_'), value] as const]
  })
  return { ...Object.fromEntries(own), ...(paramsOf(args) as Record<string, string>) }
}

const text = (value: string, about: string) => ({ type: 'string', value, about }) as const

export const dueCommand = shortcut(
  'due',
  'what inspections fall due, and when',
  'inspections-due',
  {
    tank: text('SERIAL', 'one tank'),
    'as-of': text('DAY', 'count up to this operating day (default today)'),
  },
  ['gallonage due', 'gallonage due --tank K-1 --as-of 2026-07-31'],
  'planning aid: the approved inspection programme, the maintenance manual and licensed staff decide',
)

const reconcileOptions = {
  season: text('NAME', 'a season'),
  aircraft: text('REGISTRATION', 'one aircraft'),
}
const reconcileRows = shortcut(
  'reconcile',
  'invoices held against what was delivered',
  'invoice-findings',
  reconcileOptions,
  [
    'gallonage reconcile',
    'gallonage reconcile --season 2026 --workbook invoices.xlsx',
    'gallonage reconcile --format csv --out invoices.csv',
  ],
)

export const reconcileCommand: Command = {
  ...reconcileRows,
  options: {
    ...reconcileRows.options,
    workbook: text('FILE.xlsx', 'a workbook for the other party, whose amounts recompute in the sheet'),
  },
  async run(args, effects) {
    const workbook = args.text('workbook')
    if (workbook === null) return reconcileRows.run(args, effects)
    if (!workbook.endsWith('.xlsx')) throw new UsageError('give --workbook a file name that ends in .xlsx')
    await withWarehouse(args, effects, async (warehouse) => {
      const result = await openCatalogue().run(warehouse, 'invoice-findings', given(args, reconcileOptions))
      await writeFile(inFolder(effects.cwd, workbook), await reconcileWorkbook(await result.toObjects()))
    })
    if (args.flag('json')) effects.out(`${JSON.stringify({ written: inFolder(effects.cwd, workbook) })}\n`)
    else if (!args.flag('quiet')) effects.err(`wrote ${workbook}\n`)
    return 0
  },
}

export const findingsCommand = shortcut(
  'findings',
  'what a person must look at',
  'findings',
  {
    season: text('NAME', 'a season'),
    aircraft: text('REGISTRATION', 'one aircraft'),
    tank: text('SERIAL', 'one tank'),
  },
  ['gallonage findings', 'gallonage findings --aircraft N801ZY --format csv'],
)

export type { Effects }
