import { reconcileWorkbook } from '../report/index.ts'
import type { Arguments, OptionSpecs } from './arguments.ts'
import { openCatalogue } from './catalogue.ts'
import type { Command } from './command.ts'
import { type Effects, UsageError } from './effects.ts'
import { checkWritable, writeNamed } from './named-file.ts'
import { ask, outputOptions, paramsOf } from './query.ts'
import { inFolder, withWarehouse } from './session.ts'

/** A verb that asks one question, with the params people give most as options. */
function shortcut(
  name: string,
  summary: string,
  question: string,
  options: OptionSpecs,
  examples: readonly string[],
  more: { first: readonly string[]; note?: string },
): Command {
  return {
    name,
    summary,
    usage: '[options]',
    options: { ...options, ...outputOptions },
    examples,
    run: (args, effects) => answer({ name, question, params: given(args, options), ...more }, args, effects),
  }
}

interface Asked {
  readonly name: string
  readonly question: string
  readonly params: Record<string, string>
  /** Columns that a table leads with. */
  readonly first?: readonly string[]
  /** Said beneath the answer. */
  readonly note?: string
}

async function answer(asked: Asked, args: Arguments, effects: Effects): Promise<number> {
  if (args.positionals.length > 0)
    throw new UsageError(`${asked.name} takes options only, not ${args.positionals.join(' ')}`)
  const code = await withWarehouse(args, effects, (warehouse) =>
    ask(openCatalogue(), warehouse, asked.question, asked.params, args, effects, asked.first),
  )
  if (asked.note && !args.flag('json') && !args.flag('quiet')) effects.err(`${asked.note}\n`)
  return code
}

function given(args: Arguments, options: OptionSpecs): Record<string, string> {
  const own = Object.keys(options).flatMap((name) => {
    const value = args.text(name)
    return value === null ? [] : [[name.replaceAll('-', '_'), value] as const]
  })
  return { ...Object.fromEntries(own), ...(paramsOf(args) as Record<string, string>) }
}

const planningAid =
  'planning aid: the approved inspection programme, the maintenance manual and licensed staff decide'

const text = (value: string, about: string) => ({ type: 'string', value, about }) as const

const dueOptions = {
  tank: text('SERIAL', 'one tank'),
  'as-of': text('DAY', 'count up to this operating day (default today)'),
}
const dueRows = shortcut(
  'due',
  'what inspections fall due, and when',
  'inspections-due',
  dueOptions,
  [
    'gallonage due',
    'gallonage due --tank K-1 --as-of 2026-07-31',
    'gallonage due --tank K-1 --per-day 8 --window 2027-05-15..2027-10-10',
    'gallonage due --done TW@K-1@2026-08-15 --swap D-7@2026-08-15',
  ],
  {
    first: ['item', 'task', 'status', 'counter', 'remaining', 'due_on_p50', 'due_on_p10', 'due_on_p90'],
    note: planningAid,
  },
)

/** What the planner may suppose; with any of it the due dates are shown beside those that it does not move. */
const supposed = {
  'per-day': text('NUMBER', 'what if: expected openings a day in the season'),
  window: text('FROM..TO', 'what if: first and last day of the coming season'),
  done: {
    ...text('TASK@ITEM@DAY', 'what if: planned work at the end of a day; may be repeated'),
    multiple: true,
  },
  swap: {
    ...text('ITEM@DAY', 'what if: a new part in place of a fitted one; may be repeated'),
    multiple: true,
  },
} as const satisfies OptionSpecs

export const dueCommand: Command = {
  ...dueRows,
  options: { ...dueRows.options, ...supposed },
  run(args, effects) {
    const plan = {
      per_day: args.text('per-day'),
      window: args.text('window'),
      done: args.all('done').join('; '),
      swap: args.all('swap').join('; '),
    }
    if (!Object.values(plan).some(Boolean)) return dueRows.run(args, effects)
    const planned = Object.fromEntries(Object.entries(plan).filter(([, value]) => value)) as Record<
      string,
      string
    >
    const params = { ...planned, ...given(args, dueOptions) }
    const note = `what if, and nothing of it written down; ${planningAid}`
    return answer({ name: 'due', question: 'due-what-if', params, note }, args, effects)
  },
}

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
  {
    first: [
      'invoice',
      'line',
      'finding',
      'difference_amount',
      'billed_amount',
      'supported_amount',
      'item',
      'aircraft',
      'message',
    ],
  },
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
    checkWritable(inFolder(effects.cwd, workbook))
    await withWarehouse(args, effects, async (warehouse) => {
      const result = await openCatalogue().run(warehouse, 'invoice-findings', given(args, reconcileOptions))
      await writeNamed(inFolder(effects.cwd, workbook), await reconcileWorkbook(await result.toObjects()))
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
  { first: ['finding', 'message', 'severity', 'happened_at', 'state', 'finding_id'] },
)
