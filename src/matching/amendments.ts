import type { Warehouse } from '../warehouse/index.ts'
import type { Observations } from './observations.ts'

/** What people decided about observations, as sets of observation numbers. */
export interface Decisions {
  /** In the order in which they were made: of two about the same observations the later one holds. */
  readonly changes: readonly Change[]
  /** Events that these attest are out of the account. */
  readonly excluded: ReadonlySet<number>
}

/** Observations that are one event, or groups of them that are different events. */
export type Change =
  | { readonly merge: readonly number[] }
  | { readonly split: readonly (readonly number[])[] }

export const noDecisions: Decisions = { changes: [], excluded: new Set() }

/** An event: the observations that tell of it, and lines that stand for it together with its neighbours. */
export interface Event {
  readonly members: readonly number[]
  readonly summaries: readonly number[]
  readonly isAmended: boolean
}

/**
 * Decisions that nobody undid, in the order in which they were made. An observation that was superseded since hands its
 * part to the one that replaced it.
 */
export async function readDecisions(warehouse: Warehouse): Promise<Decisions> {
  const rows = await warehouse.rows<{ action: string; payload: string }>(
    `SELECT action, payload::VARCHAR AS payload FROM raw.amendment
     WHERE undone_by IS NULL AND action IN ('exclude', 'merge', 'split') ORDER BY amendment_no`,
  )
  if (rows.length === 0) return noDecisions
  const decisions = rows.map((row) => ({
    action: row.action,
    obs: (JSON.parse(row.payload) as { obs: unknown }).obs,
  }))
  const named = [...new Set(decisions.flatMap((decision) => numbersIn(decision.obs)))]
  const heir = await heirsOf(warehouse, named)
  const current = (obs: unknown): number[] => numbersIn(obs).map((number) => heir.get(number) ?? number)
  const changes = decisions.filter((d) => d.action !== 'exclude')
  return {
    changes: changes.map((d) =>
      d.action === 'merge' ? { merge: current(d.obs) } : { split: (d.obs as unknown[]).map(current) },
    ),
    excluded: new Set(decisions.filter((d) => d.action === 'exclude').flatMap((d) => current(d.obs))),
  }
}

export function numbersIn(value: unknown): number[] {
  if (Array.isArray(value)) return value.flatMap(numbersIn)
  const number = Number(value)
  return Number.isSafeInteger(number) ? [number] : []
}

export async function heirsOf(warehouse: Warehouse, named: readonly number[]): Promise<Map<number, number>> {
  const heir = new Map<number, number>()
  if (named.length === 0) return heir
  const tables = ['drop', 'load', 'flight', 'offload']
  const all = tables.map(
    (table) => `SELECT obs_no, replaced_by FROM obs.${table} WHERE replaced_by IS NOT NULL`,
  )
  const rows = await warehouse.rows<{ first: number; last: number }>(
    `WITH RECURSIVE replaced AS (${all.join(' UNION ALL ')}),
     chain AS (
       SELECT obs_no AS first, replaced_by AS last FROM replaced WHERE obs_no IN (${named.join(', ')})
       UNION SELECT c.first, r.replaced_by FROM chain c JOIN replaced r ON r.obs_no = c.last)
     SELECT first, last FROM chain WHERE last NOT IN (SELECT obs_no FROM replaced)`,
  )
  for (const row of rows) heir.set(row.first, row.last)
  return heir
}

/** Events of one kind and segment after people's merges and splits. */
export function decideEvents(o: Observations, events: readonly Event[], decisions: Decisions): Event[] {
  let list = [...events]
  for (const change of decisions.changes)
    list =
      'merge' in change ? merged(o, list, change.merge) : list.flatMap((one) => parted(o, one, change.split))
  return list
}

function merged(o: Observations, list: Event[], merge: readonly number[]): Event[] {
  const named = new Set(merge)
  const touched = list.filter((event) => event.members.some((index) => named.has(o.obsNo[index]!)))
  if (touched.length < 2) return list
  const one = {
    members: touched.flatMap((event) => event.members),
    summaries: [...new Set(touched.flatMap((event) => event.summaries))],
    isAmended: true,
  }
  return [...list.filter((event) => !touched.includes(event)), one]
}

function parted(o: Observations, event: Event, split: readonly (readonly number[])[]): Event[] {
  const side = new Map(split.flatMap((obs, group) => obs.map((number) => [number, group] as const)))
  const sides = new Set(
    event.members.map((index) => side.get(o.obsNo[index]!)).filter((group) => group !== undefined),
  )
  if (sides.size < 2) return [event]
  const stay = Math.min(...sides)
  return [...sides]
    .sort((a, b) => a - b)
    .map((group) => ({
      members: event.members.filter((index) => (side.get(o.obsNo[index]!) ?? stay) === group),
      summaries: event.summaries,
      isAmended: true,
    }))
}
