import { kindOf, type Span, tableName } from '../kinds/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { valueTrouble } from './amended-value.ts'
import { countFates, readHeld } from './counts.ts'
import { typeAgain } from './ingest.ts'
import { noteChanged } from './pending.ts'
import { lineNumber } from './plan.ts'
import { markSetAside } from './set-aside.ts'
import { spanReason, troubleOfSpan } from './span.ts'

export type EventKind = 'drop' | 'load' | 'flight' | 'offload'

/** What a person may record, each with what it needs (see the manual). */
export type Amending =
  | { action: 'set-field'; payload: { obs_no: number; kind: string; field: string; value: string | null } }
  | { action: 'set-aside'; payload: { obs_no: number } }
  | { action: 'exclude'; payload: { kind: EventKind; obs: number[] } }
  | { action: 'merge'; payload: { kind: EventKind; obs: number[] } }
  | { action: 'split'; payload: { kind: EventKind; obs: number[][] } }
  | {
      action: 'alias'
      payload: { kind: 'aircraft' | 'tank' | 'base' | 'fire'; target: string; alias: string }
    }
  | { action: 'finding-state'; payload: { finding_id: string; state: 'open' | 'accepted' | 'resolved' } }
  | {
      action: 'invoice-note'
      payload: { contract: string; invoice: string; line: string; state: 'agreed' | 'disputed' | 'credited' }
    }
  | { action: 'reopen-season'; payload: { season: string } }
  | { action: 'undo'; payload: { amendment_no: number } }

export interface Signed {
  readonly reason: string
  readonly by: string
  readonly now: Date
}

/** The amendment cannot be recorded: what is wrong and what to do. */
export class AmendmentRefused extends Error {}

const events: readonly string[] = ['drop', 'load', 'flight', 'offload']

/**
 * Records an amendment and notes what it touches; nothing is edited in place. It is replayed on every rebuild.
 * @returns its number.
 * @throws AmendmentRefused when what it names is not there.
 */
export async function recordAmendment(
  warehouse: Warehouse,
  amending: Amending,
  signed: Signed,
): Promise<number> {
  if (signed.reason.trim() === '') throw new AmendmentRefused('an amendment needs a reason: give --reason')
  if (signed.by.trim() === '') throw new AmendmentRefused('an amendment needs a name: give --by')
  return warehouse.transaction(async () => {
    await check(warehouse, amending)
    const number = Number(
      await warehouse.value('SELECT coalesce(max(amendment_no), 0) + 1 FROM raw.amendment'),
    )
    await warehouse.append('raw.amendment', {
      amendment_no: [number],
      made_at: [signed.now.getTime()],
      made_by: [signed.by.trim()],
      reason: [signed.reason.trim()],
      action: [amending.action],
      payload: [JSON.stringify(amending.payload)],
    })
    if (amending.action === 'undo') {
      await warehouse.run(
        `UPDATE raw.amendment SET undone_by = ${number} WHERE amendment_no = ${amending.payload.amendment_no}`,
      )
      const [undone] = await warehouse.rows<{ action: string; payload: string }>(
        `SELECT action, payload::VARCHAR AS payload FROM raw.amendment WHERE amendment_no = ${amending.payload.amendment_no}`,
      )
      await touch(warehouse, { action: undone!.action, payload: JSON.parse(undone!.payload) } as Amending)
    } else await touch(warehouse, amending)
    return number
  })
}

async function check(warehouse: Warehouse, amending: Amending): Promise<void> {
  switch (amending.action) {
    case 'set-field':
      return checkField(warehouse, amending.payload)
    case 'set-aside':
      return checkLine(warehouse, amending.payload.obs_no)
    case 'exclude':
    case 'merge':
      return checkRows(warehouse, amending.payload.kind, amending.payload.obs)
    case 'split':
      return checkRows(warehouse, amending.payload.kind, amending.payload.obs.flat())
    case 'alias':
      return checkAlias(warehouse, amending.payload)
    case 'finding-state': {
      const found = await warehouse.value('SELECT 1 FROM answers.finding WHERE finding_id = $id', {
        id: amending.payload.finding_id,
      })
      if (found === null)
        throw new AmendmentRefused(
          `there is no finding ${amending.payload.finding_id}; "gallonage findings" lists them`,
        )
      return
    }
    case 'invoice-note': {
      const { contract, invoice, line } = amending.payload
      const found = await warehouse.value(
        "SELECT 1 FROM obs.invoice_line WHERE contract = $contract AND invoice = $invoice AND line = $line AND fate = 'accepted'",
        { contract, invoice, line },
      )
      if (found === null)
        throw new AmendmentRefused(`there is no line ${line} of invoice ${invoice} on contract ${contract}`)
      return
    }
    case 'reopen-season': {
      const found = await warehouse.value(
        'SELECT 1 FROM raw.closed_season WHERE season = $season AND until_file IS NULL',
        { season: amending.payload.season },
      )
      if (found === null) throw new AmendmentRefused(`season ${amending.payload.season} is not closed`)
      return
    }
    case 'undo':
      return checkUndo(warehouse, amending.payload.amendment_no)
  }
}

async function checkLine(warehouse: Warehouse, number: number): Promise<void> {
  const here = `(${lineNumber}) // 16 = ${Math.trunc(number)} // 16`
  if ((await warehouse.value(`SELECT 1 FROM obs.waiting WHERE ${here}`)) !== null) return
  const earlier = await warehouse.value(`SELECT by_amendment FROM obs.corrected WHERE ${here}`)
  throw new AmendmentRefused(
    earlier === null
      ? 'no line of this number waits in quarantine; "gallonage query quarantine" lists those that do'
      : `this line was set aside already, by amendment ${earlier}`,
  )
}

async function checkUndo(warehouse: Warehouse, number: number): Promise<void> {
  const [found] = await warehouse.rows<{ action: string; undone_by: number | null }>(
    `SELECT action, undone_by FROM raw.amendment WHERE amendment_no = ${Math.trunc(number)}`,
  )
  if (!found) throw new AmendmentRefused(`there is no amendment ${number}; "gallonage amend list" shows them`)
  if (found.undone_by !== null)
    throw new AmendmentRefused(`amendment ${number} was undone already, by amendment ${found.undone_by}`)
  if (found.action === 'undo' || found.action === 'reopen-season')
    throw new AmendmentRefused(`amendment ${number} cannot be undone: record what you want instead`)
}

async function checkField(
  warehouse: Warehouse,
  payload: { obs_no: number; kind: string; field: string; value: string | null },
): Promise<void> {
  if (!events.includes(payload.kind))
    throw new AmendmentRefused(
      `fields of a ${payload.kind} cannot be amended here: send a corrected row, it replaces the older one`,
    )
  const kind = kindOf(payload.kind as EventKind)
  const column = kind.columns.find(({ name }) => name === payload.field)
  if (!column)
    throw new AmendmentRefused(
      `a ${payload.kind} has no field ${payload.field}; it has ${kind.columns.map(({ name }) => name).join(', ')}`,
    )
  const trouble = await valueTrouble(warehouse, kind, column, payload.value || null)
  if (trouble !== null) throw new AmendmentRefused(trouble)
  await checkRows(warehouse, payload.kind as EventKind, [payload.obs_no])
  const { span } = kind
  if (span && (column.name === span.from || column.name === span.to) && payload.value)
    await checkSpan(warehouse, span, payload)
}

/** A record may not come to end before it begins, nor last longer than its kind may. */
async function checkSpan(
  warehouse: Warehouse,
  span: Span,
  payload: { obs_no: number; kind: string; field: string; value: string | null },
): Promise<void> {
  const other = payload.field === span.to ? span.from : span.to
  const [row] = await warehouse.rows<{ seconds: number | null }>(
    `SELECT epoch($value::TIMESTAMP) - epoch(coalesce(
       (SELECT arg_max(payload->>'value', amendment_no)::TIMESTAMP FROM raw.amendment
        WHERE action = 'set-field' AND undone_by IS NULL AND (payload->>'kind') = $kind AND (payload->>'field') = $other
          AND (payload->>'obs_no')::BIGINT = o.obs_no), "${other}")) AS seconds
     FROM obs.${payload.kind} o WHERE obs_no = ${Math.trunc(payload.obs_no)}`,
    { value: payload.value, kind: payload.kind, other },
  )
  const lasts = Number(row?.seconds ?? 0) * (payload.field === span.to ? 1 : -1)
  const trouble = troubleOfSpan(span, lasts)
  if (trouble !== null)
    throw new AmendmentRefused(`${spanReason(span, trouble)}; where both ends move, set the other one first`)
}

async function checkRows(warehouse: Warehouse, kind: EventKind, numbers: readonly number[]): Promise<void> {
  if (numbers.length === 0) throw new AmendmentRefused('name at least one observation')
  const known = await warehouse.rows<{ obs_no: number }>(
    `SELECT obs_no FROM obs.${tableName(kind)} WHERE obs_no IN (${numbers.map((one) => Math.trunc(one)).join(', ')}) AND fate = 'accepted'`,
  )
  const missing = numbers.filter((number) => !known.some((row) => row.obs_no === number))
  if (missing.length > 0)
    throw new AmendmentRefused(`no ${kind} observation that stands has the number ${missing.join(', ')}`)
}

const registers = {
  aircraft: ['aircraft', 'registration'],
  tank: ['tank', 'serial'],
  base: ['base', 'code'],
  fire: ['fire', 'number'],
} as const

async function checkAlias(
  warehouse: Warehouse,
  payload: { kind: keyof typeof registers; target: string; alias: string },
): Promise<void> {
  const [table, column] = registers[payload.kind]
  const found = await warehouse.value(
    `SELECT 1 FROM obs.${table} WHERE ${column} = $target AND fate = 'accepted'`,
    { target: payload.target },
  )
  if (found === null) throw new AmendmentRefused(`there is no ${payload.kind} ${payload.target} on record`)
  // Fires of different days may share a name; anything else with two meanings would name neither.
  if (payload.kind === 'fire') return
  const key = (name: string): string => `regexp_replace(upper(${name}), '[\\s-]+', '', 'g')`
  const { kind, target, alias } = payload
  const other = await warehouse.value(
    `SELECT ${column} FROM obs.${table} WHERE ${key(column)} = ${key('$alias')} AND ${column} <> $target AND fate = 'accepted'`,
    { alias, target },
  )
  if (other !== null)
    throw new AmendmentRefused(`${alias} is ${kind} ${other} on record, it cannot name ${target} too`)
  const [known] = await warehouse.rows<{ amendment_no: number; target: string }>(
    `SELECT amendment_no, payload->>'target' AS target FROM raw.amendment
     WHERE action = 'alias' AND undone_by IS NULL AND (payload->>'kind') = $kind AND (payload->>'target') <> $target
       AND ${key("(payload->>'alias')")} = ${key('$alias')} ORDER BY amendment_no LIMIT 1`,
    { kind, alias, target },
  )
  if (known)
    throw new AmendmentRefused(
      `${alias} names ${kind} ${known.target} by amendment ${known.amendment_no}; undo that first if it is wrong`,
    )
}

/** Notes what must be computed again, and types rows again that a new name lets read. */
async function touch(warehouse: Warehouse, amending: Amending): Promise<void> {
  switch (amending.action) {
    case 'set-field':
      return touchRows(warehouse, amending.payload.kind as EventKind, [amending.payload.obs_no])
    case 'exclude':
    case 'merge':
      return touchRows(warehouse, amending.payload.kind, amending.payload.obs)
    case 'split':
      return touchRows(warehouse, amending.payload.kind, amending.payload.obs.flat())
    case 'alias':
      if (amending.payload.kind !== 'fire') await typeAgain(warehouse)
      await warehouse.run('INSERT INTO obs.registry_changed VALUES ($kind)', { kind: amending.payload.kind })
      return
    case 'reopen-season':
      await warehouse.run(
        'UPDATE raw.closed_season SET until_file = (SELECT coalesce(max(file_no), 0) FROM raw.file), reopened_at = (SELECT max(made_at) FROM raw.amendment) WHERE season = $season AND until_file IS NULL',
        { season: amending.payload.season },
      )
      // What was refused while it was closed is tried again.
      await typeAgain(warehouse)
      return
    case 'set-aside': {
      const held = await readHeld(warehouse)
      await markSetAside(warehouse)
      return countFates(warehouse, new Set(), held)
    }
    case 'finding-state':
    case 'invoice-note':
    case 'undo':
      return
  }
}

async function touchRows(warehouse: Warehouse, kind: EventKind, numbers: readonly number[]): Promise<void> {
  const list = numbers.map((one) => Math.trunc(one)).join(', ')
  await noteChanged(
    warehouse,
    kind,
    `SELECT aircraft, "${kindOf(kind).time}" AS at_time FROM obs.${kind} WHERE obs_no IN (${list})`,
  )
}
