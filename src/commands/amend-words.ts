import { obsName, obsNumber, readEvidence } from '../evidence/index.ts'
import type { Amending } from '../intake/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { isExcluded } from './amend-record.ts'
import type { Arguments } from './arguments.ts'
import { choose } from './choice.ts'
import { amendments } from './corrections.ts'
import { CommandError, UsageError } from './effects.ts'

type EventKind = 'drop' | 'load' | 'flight' | 'offload'
const eventKinds: readonly string[] = ['drop', 'load', 'flight', 'offload']

/** What the words of a command line amend. @throws UsageError, CommandError for what they do not name or is not there. */
export async function amendingOf(warehouse: Warehouse, args: Arguments): Promise<Amending> {
  const rest = args.positionals.slice(1)
  const action = choose('a correction', args.positionals[0], amendments)
  switch (action) {
    case 'set':
      return setField(warehouse, rest, args)
    case 'set-aside':
      return { action, payload: { obs_no: number(need(rest[0], 'a line in quarantine, such as 12-346')) } }
    case 'exclude':
    case 'merge': {
      const kind = eventKind(rest[0])
      if (action === 'merge' && new Set(rest.slice(1)).size < 2)
        throw new UsageError(`name the ${kind}s that are one: two or more`)
      return { action, payload: { kind, obs: await rowsOf(warehouse, kind, rest.slice(1)) } }
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
