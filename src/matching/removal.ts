import { rowsOfFile } from '../kinds/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { timeField } from './fields.ts'
import { type EventKind, eventKinds } from './observations.ts'
import type { Linked } from './outcome.ts'
import { nearSql, type Reach, whenSql, whoseSql } from './reach.ts'
import type { SetField } from './set-fields.ts'
import { type Spread, spreadSql } from './spread.ts'

/** Records of a kind that go. */
interface Going {
  readonly kind: EventKind
  readonly count: number
  /** How many of them are attested by more than what is at hand. */
  readonly beyond: number
}

/** Times of records lie so far beyond those of what attests them, seldom farther: seconds. */
const usuallyBeyond = 2 * 86_400

/**
 * Takes out the records that the observations of this outcome attested so far, and those of observations that stand no
 * longer. Returns aircraft whose records reach beyond what was loaded; then nothing was taken out.
 * @param named observations that new amendments name: what they attest may be of any aircraft @param changed what people set
 */
export async function removeOld(
  warehouse: Warehouse,
  outcome: Linked,
  named: readonly number[],
  changed: readonly SetField[],
  reached: ReadonlyMap<string, readonly Reach[]>,
): Promise<string[]> {
  const dirty = await noteDirty(warehouse, outcome, named, changed, reached)
  await warehouse.run(`CREATE OR REPLACE TEMP TABLE match_old AS
    SELECT kind, id, count(*) < max(attested_by) AS is_beyond
    FROM (FROM ledger.attestation WHERE ${dirty}) SEMI JOIN match_dirty USING (obs_no) GROUP BY kind, id`)
  const going = await warehouse.rows<Going>(
    'SELECT kind, count(*)::INTEGER AS count, count(*) FILTER (is_beyond)::INTEGER AS beyond FROM match_old GROUP BY kind',
  )
  if (going.some(({ beyond }) => beyond > 0)) {
    const left = await whoseBeyond(warehouse)
    if (left.length > 0) return left
  }
  for (const { kind, count } of going) await removeRecords(warehouse, kind, count, reached)
  if (going.length > 0)
    await warehouse.run(`
      DELETE FROM ledger.finding WHERE subject IN (SELECT kind || ':' || id FROM match_old);
      DELETE FROM ledger.disputed_fire WHERE drop IN (SELECT id FROM match_old WHERE kind = 'drop');
      DELETE FROM ledger.attestation WHERE ${dirty} AND obs_no IN (SELECT obs_no FROM match_dirty)`)
  return []
}

/**
 * Writes `match_dirty`: the observations whose records go.
 * @returns SQL that holds, beside others, for all that they attest
 */
async function noteDirty(
  warehouse: Warehouse,
  outcome: Linked,
  named: readonly number[],
  changed: readonly SetField[],
  reached: ReadonlyMap<string, readonly Reach[]>,
): Promise<string> {
  const fallen = eventKinds.map(
    (
      kind,
    ) => `SELECT obs_no FROM (FROM obs.${kind} WHERE ${nearSql(reached, 'load', timeField[kind])} AND fate <> 'accepted') o
      SEMI JOIN match_range r ON r.aircraft = o.aircraft
      AND o.${timeField[kind]} >= r.load_from AND o.${timeField[kind]} <= r.load_to`,
  )
  // A name that is no longer an aircraft's leaves rows without one, wherever they were.
  const nameless = eventKinds.map((kind) => `SELECT obs_no FROM obs.${kind} WHERE aircraft IS NULL`)
  await warehouse.giving({ link: outcome.link.columns }, () =>
    warehouse.run(`CREATE OR REPLACE TEMP TABLE match_dirty AS
      SELECT DISTINCT obs_no::BIGINT AS obs_no FROM given_numbers('link') UNION ${[...fallen, ...nameless].join(' UNION ')}
      ${named.length > 0 ? `UNION SELECT unnest([${named.join(', ')}]::BIGINT[])` : ''}`),
  )
  const stretches = await warehouse.rows<Spread>(
    `SELECT min(obs_no) AS "from", max(obs_no) AS "to" FROM match_dirty GROUP BY obs_no // ${rowsOfFile} ORDER BY 1`,
  )
  const within = spreadSql('obs_no', stretches)
  if (named.length > 0) return within
  // What is of another aircraft by a person's word attested a record of that one.
  const set = changed.flatMap(({ field, value }) => (field === 'aircraft' && value ? [value] : []))
  return `${whoseSql([...reached.keys(), ...set], 'aircraft')} AND ${within}`
}

/** Whose the observations are that attest the same records and are not at hand. */
async function whoseBeyond(warehouse: Warehouse): Promise<string[]> {
  const beyond = await warehouse.rows<{ obs_no: number }>(
    `SELECT DISTINCT obs_no FROM (SELECT obs_no FROM ledger.attestation SEMI JOIN match_old USING (id))
     ANTI JOIN match_dirty USING (obs_no)`,
  )
  if (beyond.length === 0) return []
  const numbers = beyond.map(({ obs_no }) => obs_no).join(', ')
  const left = await warehouse.rows<{ aircraft: string }>(
    `${eventKinds.map((kind) => `SELECT aircraft FROM obs.${kind} WHERE obs_no IN (${numbers})`).join(' UNION ')} ORDER BY 1`,
  )
  return left.map((row) => row.aircraft)
}

/** Takes so many records of a kind out: looked for where they should be, and everywhere if some are not there. */
async function removeRecords(
  warehouse: Warehouse,
  kind: EventKind,
  count: number,
  reached: ReadonlyMap<string, readonly Reach[]>,
): Promise<void> {
  const old = `${kind} IN (SELECT id FROM match_old WHERE kind = '${kind}')`
  const there = `${whenSql(reached, 'load', timeField[kind], timeField[kind], usuallyBeyond)} AND ${whoseSql(reached.keys(), 'aircraft')}`
  const found = await warehouse.value<number>(`DELETE FROM ledger.${kind} WHERE ${there} AND ${old}`)
  if (Number(found) < count) await warehouse.run(`DELETE FROM ledger.${kind} WHERE ${old}`)
}
