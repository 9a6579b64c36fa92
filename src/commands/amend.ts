import { obsName, obsNumber, readEvidence } from '../evidence/index.ts'
import { type Amending, AmendmentRefused, recordAmendment } from '../intake/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import type { Arguments } from './arguments.ts'
import { atMost, choose } from './choice.ts'
import { changedSeason, closedSeasons } from './closed.ts'
import type { Command } from './command.ts'
import { amendments } from './corrections.ts'
import { CommandError, type Effects, UsageError } from './effects.ts'
import { withWarehouse } from './session.ts'
import { bringUpToDate } from './update.ts'

const signature = {
  reason: { type: 'string', value: 'TEXT', about: 'why' },
  by: { type: 'string', value: 'NAME', about: 'who' },
} as const

type EventKind = 'drop' | 'load' | 'flight' | 'offload'
const eventKinds: readonly string[] = ['drop', 'load', 'flight', 'offload']

export const amendCommand: Command = {
  name: 'amend',
  summary: 'record a correction, with reason and name',
  usage:
    'set OBS | exclude KIND ID | merge KIND ID ID... | split KIND ID | finding ID | line CONTRACT INVOICE LINE | reopen SEASON | undo NUMBER | list',
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
    'gallonage amend exclude drop D-N801ZY-20260704T183020Z --reason "bench test" --by "R. Alder"',
    'gallonage amend finding 5d41… --state accepted --reason "checked with the base" --by "R. Alder"',
    'gallonage amend undo 3 --reason "wrong drop" --by "R. Alder"',
  ],
  async run(args, effects) {
    if (args.positionals[0] !== 'list') choose('a correction', args.positionals[0], amendments)
    return withWarehouse(args, effects, async (warehouse) => {
      if (args.positionals[0] === 'list') return list(warehouse, args, effects)
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
  const number = await amend(warehouse, amending, {
    reason: args.text('reason') ?? '',
    by: args.text('by') ?? '',
    now: effects.now(),
  })
  effects.out(
    args.flag('json') ? `${JSON.stringify({ amendment_no: number })}\n` : `amendment ${number} is recorded\n`,
  )
  return 0
}

/**
 * Records an amendment and brings every answer up to date, all or nothing.
 * @throws CommandError where it names what is not there, cannot be followed, or would change a closed season.
 */
export async function amend(
  warehouse: Warehouse,
  amending: Amending,
  signed: { reason: string; by: string; now: Date },
): Promise<number> {
  try {
    return await warehouse.exclusive(() =>
      warehouse.transaction(async () => {
        const closed = await closedSeasons(warehouse)
        const number = await recordAmendment(warehouse, amending, signed)
        await bringUpToDate(warehouse)
        await mustHold(warehouse, amending)
        const changed = closed.size === 0 ? null : changedSeason(closed, await closedSeasons(warehouse))
        if (changed !== null)
          throw new CommandError(
            `season ${changed} is closed and this would change it; nothing was recorded; re-open it with "gallonage amend reopen ${changed}" and a reason`,
          )
        return number
      }),
    )
  } catch (error) {
    if (error instanceof AmendmentRefused) throw new CommandError(error.message)
    throw error
  }
}

/** A merge or split that the account could not follow is refused, so that nobody counts on it. */
async function mustHold(warehouse: Warehouse, amending: Amending): Promise<void> {
  if (amending.action !== 'merge' && amending.action !== 'split') return
  const { kind } = amending.payload
  const idsOf = async (numbers: readonly number[]) => {
    const rows = await warehouse.rows<{ id: string }>(
      `SELECT DISTINCT id FROM ledger.link WHERE kind = $kind AND obs_no IN (${numbers.map(Math.trunc).join(', ')})`,
      { kind },
    )
    return rows.map((row) => row.id)
  }
  if (amending.action === 'merge') {
    const ids = await idsOf(amending.payload.obs)
    if (ids.length > 1)
      throw new CommandError(
        `these rows lie too far apart in time, or on different aircraft, to be one ${kind}; nothing was recorded`,
      )
    if (await isExcluded(warehouse, kind, ids[0]!))
      throw new CommandError(
        `one of these rows is excluded, so the merged ${kind} would be; nothing was recorded; undo that amendment first`,
      )
    return
  }
  const groups = await Promise.all(amending.payload.obs.map(idsOf))
  const all = groups.flat()
  if (new Set(all).size < all.length)
    throw new CommandError(`these rows could not be parted; nothing was recorded`)
}

async function amendingOf(warehouse: Warehouse, args: Arguments): Promise<Amending> {
  const rest = args.positionals.slice(1)
  const action = choose('a correction', args.positionals[0], amendments)
  switch (action) {
    case 'set':
      return setField(warehouse, rest, args)
    case 'exclude':
      return {
        action,
        payload: {
          kind: eventKind(rest[0]),
          obs: await rowsOf(warehouse, eventKind(rest[0]), rest.slice(1)),
        },
      }
    case 'merge':
      return {
        action,
        payload: {
          kind: eventKind(rest[0]),
          obs: await rowsOf(warehouse, eventKind(rest[0]), rest.slice(1)),
        },
      }
    case 'split': {
      const kind = eventKind(rest[0])
      const all = await rowsOf(warehouse, kind, rest.slice(1))
      const apart = args.all('obs').map(number)
      if (apart.length === 0 || apart.length >= all.length || apart.some((one) => !all.includes(one)))
        throw new UsageError(
          `--obs names the rows that are another event: some, not all, of ${all.map(obsName).join(', ')}`,
        )
      return { action, payload: { kind, obs: [all.filter((one) => !apart.includes(one)), apart] } }
    }
    case 'finding': {
      const state = args.text('state')
      if (state !== 'open' && state !== 'accepted' && state !== 'resolved')
        throw new UsageError('--state is open, accepted or resolved')
      const finding_id = await findingNamed(warehouse, need(rest[0], 'a finding id'))
      return { action: 'finding-state', payload: { finding_id, state } }
    }
    case 'line': {
      const state = args.text('state')
      if (state !== 'agreed' && state !== 'disputed' && state !== 'credited')
        throw new UsageError('--state is agreed, disputed or credited')
      return {
        action: 'invoice-note',
        payload: {
          contract: need(rest[0], 'a contract'),
          invoice: need(rest[1], 'an invoice'),
          line: need(rest[2], 'a line'),
          state,
        },
      }
    }
    case 'reopen':
      return { action: 'reopen-season', payload: { season: need(rest[0], 'a season') } }
    case 'undo':
      return { action, payload: { amendment_no: Number(need(rest[0], 'the number of an amendment')) } }
  }
}

async function setField(warehouse: Warehouse, rest: readonly string[], args: Arguments): Promise<Amending> {
  const obs = need(rest[0], 'an observation, such as 12-345')
  const found = await readEvidence(warehouse, 'obs', obs)
  if (!found)
    throw new CommandError(`there is no observation ${obs}; "gallonage evidence drop ID" shows them`)
  return {
    action: 'set-field',
    payload: {
      obs_no: found.observations[0]!.obs_no,
      kind: found.observations[0]!.kind,
      field: need(args.text('field'), '--field'),
      value: args.text('value'),
    },
  }
}

/** A finding's whole id from its first letters, eight or more, where only one begins so. @throws CommandError */
async function findingNamed(warehouse: Warehouse, id: string): Promise<string> {
  const start = id.replace(/…$/, '')
  const rows = await warehouse.rows<{ finding_id: string }>(
    'SELECT finding_id FROM answers.finding WHERE starts_with(finding_id, $start) LIMIT 2',
    { start },
  )
  if (rows.length === 2 || (start.length < 8 && rows[0]?.finding_id !== start))
    throw new CommandError(`${id} does not name one finding; give more letters of its id`)
  return rows[0]?.finding_id ?? start
}

function need(text: string | null | undefined, what: string): string {
  if (!text) throw new UsageError(`name ${what}`)
  return text
}

function number(text: string): number {
  const found = obsNumber(text)
  if (found === null) throw new UsageError(`${text} is no observation; write it like 12-345`)
  return found
}

function eventKind(text: string | undefined): EventKind {
  if (text === undefined || !eventKinds.includes(text))
    throw new UsageError(`name one of ${eventKinds.join(', ')}`)
  return text as EventKind
}

function isExcluded(warehouse: Warehouse, kind: string, id: string): Promise<boolean | null> {
  return warehouse.value<boolean>(`SELECT is_excluded FROM ledger."${kind}" WHERE "${kind}" = $id`, { id })
}

/** Observations behind the records of these ids. @throws CommandError for one that is not there, or is excluded */
async function rowsOf(warehouse: Warehouse, kind: EventKind, ids: readonly string[]): Promise<number[]> {
  if (ids.length === 0) throw new UsageError(`name the ${kind}`)
  const numbers: number[] = []
  for (const id of ids) {
    const rows = await warehouse.rows<{ obs_no: number }>(
      'SELECT obs_no FROM ledger.link WHERE kind = $kind AND id = $id ORDER BY obs_no',
      { kind, id },
    )
    if (rows.length === 0)
      throw new CommandError(`there is no ${kind} ${id}; "gallonage query ${kind}s" lists them`)
    if (await isExcluded(warehouse, kind, id))
      throw new CommandError(
        `${kind} ${id} is excluded from the account; undo that first, "gallonage amend list" shows its number`,
      )
    numbers.push(...rows.map((row) => row.obs_no))
  }
  return [...new Set(numbers)]
}

async function list(warehouse: Warehouse, args: Arguments, effects: Effects): Promise<number> {
  const rows = await warehouse.rows(
    'SELECT amendment_no, made_at, made_by, action, payload::VARCHAR AS payload, reason, undone_by FROM raw.amendment ORDER BY amendment_no',
  )
  if (args.flag('json')) effects.out(`${JSON.stringify(rows, null, 2)}\n`)
  else if (rows.length === 0) effects.out('no amendments\n')
  else
    for (const row of rows)
      effects.out(
        `${row.amendment_no}  ${row.made_at}  ${row.made_by}: ${row.action} ${told(JSON.parse(String(row.payload)))} (${row.reason})${row.undone_by === null ? '' : ` undone by ${row.undone_by}`}\n`,
      )
  return 0
}

/** What an amendment says, in the words of the command that made it: `drop 12-345 volume_gal = 1020`. */
function told(payload: Readonly<Record<string, unknown>>): string {
  const rows = (numbers: unknown): string =>
    [numbers]
      .flat(2)
      .map((one) => obsName(Number(one)))
      .join(' ')
  return Object.entries(payload)
    .map(([name, value]) => {
      if (name === 'obs_no' || name === 'obs') return rows(value)
      if (name === 'value') return `= ${value ?? 'unknown'}`
      return String(value)
    })
    .join(' ')
}
