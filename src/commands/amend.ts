import type { Amending } from '../intake/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { listAmendments } from './amend-list.ts'
import { amend } from './amend-record.ts'
import { amendingOf } from './amend-words.ts'
import type { Arguments } from './arguments.ts'
import { atMost, choose } from './choice.ts'
import type { Command } from './command.ts'
import { amendments } from './corrections.ts'
import { type Effects, UsageError } from './effects.ts'
import { withWarehouse } from './session.ts'

const signature = {
  reason: { type: 'string', value: 'TEXT', about: 'why' },
  by: { type: 'string', value: 'NAME', about: 'who' },
} as const

export const amendCommand: Command = {
  name: 'amend',
  summary: 'record a correction, with reason and name',
  usage:
    'set OBS | set-aside OBS | exclude KIND ID | merge KIND ID ID... | split KIND ID | finding ID | line CONTRACT INVOICE LINE | reopen SEASON | undo NUMBER | list',
  options: {
    ...signature,
    field: { type: 'string', value: 'NAME', about: 'set: the field, such as volume_gal' },
    value: {
      type: 'string',
      value: 'TEXT',
      about: 'set: its value in canonical units or ISO 8601; left out: unknown',
    },
    obs: {
      type: 'string',
      multiple: true,
      value: 'OBS',
      about: 'split: the rows that are another event; may be repeated',
    },
    state: {
      type: 'string',
      value: 'STATE',
      about: 'finding: open, accepted, resolved; line: agreed, disputed, credited',
    },
  },
  examples: [
    'gallonage amend set 12-345 --field volume_gal --value 1020 --reason "gauge misread" --by "R. Alder"',
    'gallonage amend set-aside 12-346 --reason "the sheet\'s own sum" --by "R. Alder"',
    'gallonage amend exclude drop D-N801ZY-20260704T183020Z --reason "bench test" --by "R. Alder"',
    'gallonage amend merge drop D-N801ZY-20260704T183020Z D-N801ZY-20260704T192000Z --reason "one drop, two tablets" --by "R. Alder"',
    'gallonage amend split drop D-N801ZY-20260704T183020Z --obs 12-345 --reason "two drops" --by "R. Alder"',
    'gallonage amend finding 5d41… --state accepted --reason "checked with the base" --by "R. Alder"',
    'gallonage amend undo 3 --reason "wrong drop" --by "R. Alder"',
  ],
  async run(args, effects) {
    if (args.positionals[0] !== 'list') choose('a correction', args.positionals[0], amendments)
    return withWarehouse(args, effects, async (warehouse) => {
      if (args.positionals[0] === 'list') return listAmendments(warehouse, args, effects)
      return carryOut(warehouse, await amendingOf(warehouse, args), args, effects)
    })
  },
}

export const aliasCommand: Command = {
  name: 'alias',
  summary: 'record another name for an aircraft, tank, base or fire',
  usage: 'aircraft|tank|base|fire TARGET ALIAS',
  options: signature,
  examples: [
    'gallonage alias aircraft N801ZY "Tanker 81" --reason "crew sheets" --by "R. Alder"',
    'gallonage alias fire F-1 "Dry Crk" --reason "spelling" --by "R. Alder"',
  ],
  async run(args, effects) {
    atMost(3, args.positionals)
    const [kind, target, alias] = args.positionals
    if (!target || !alias || (kind !== 'aircraft' && kind !== 'tank' && kind !== 'base' && kind !== 'fire'))
      throw new UsageError(
        'name aircraft, tank, base or fire, then what it is called on record, then the other name',
      )
    return withWarehouse(args, effects, (warehouse) =>
      carryOut(warehouse, { action: 'alias', payload: { kind, target, alias } }, args, effects),
    )
  },
}

async function carryOut(
  warehouse: Warehouse,
  amending: Amending,
  args: Arguments,
  effects: Effects,
): Promise<number> {
  const reason = signedBy(args, 'reason', 'a reason')
  const by = signedBy(args, 'by', 'a name')
  const number = await amend(warehouse, amending, { reason, by, now: effects.now() })
  effects.out(
    args.flag('json') ? `${JSON.stringify({ amendment_no: number })}\n` : `amendment ${number} is recorded\n`,
  )
  return 0
}

function signedBy(args: Arguments, option: keyof typeof signature, what: string): string {
  const text = args.text(option) ?? ''
  if (text.trim() === '') throw new UsageError(`an amendment needs ${what}: give --${option}`)
  return text
}
