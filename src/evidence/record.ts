import type { Warehouse } from '../warehouse/index.ts'
import { dropsOf } from './drops.ts'
import { readObservations } from './observations.ts'
import {
  type AmendmentEvidence,
  type Claim,
  type Evidence,
  type Fields,
  type FindingEvidence,
  type ObservationEvidence,
  obsName,
  type Related,
} from './types.ts'

export type EventKind = 'drop' | 'load' | 'flight' | 'offload'

const rules: Record<EventKind, string> = {
  drop: 'time, volume, doors, openings, coverage: controller, tracker, crew, dispatch; position: tracker, controller, crew; fluid: crew, controller, dispatch; fire, purpose: crew, dispatch, controller; manual before all',
  load: 'volume, base: ticket, controller, crew; time: controller, ticket; manual before all',
  flight: 'off and on: tracker, controller, crew, dispatch; manual before all',
  offload: 'ticket, controller, crew; manual before all',
}

export const isEventKind = (kind: string): kind is EventKind => Object.hasOwn(rules, kind)

/** Everything behind one canonical event. */
export async function eventEvidence(
  warehouse: Warehouse,
  kind: EventKind,
  id: string,
): Promise<Evidence | null> {
  const [ledger] = await warehouse.rows(`SELECT * FROM ledger."${kind}" WHERE "${kind}" = $id`, { id })
  if (!ledger) return null
  const [account] = await warehouse.rows(`SELECT * FROM account."${kind}" WHERE "${kind}" = $id`, { id })
  const record: Fields = { ...ledger, ...account }
  const links = await warehouse.rows<{
    obs_no: number
    role: string
    score: number
    decided_by: string
    offset_min: number
  }>(
    'SELECT obs_no, role, score, decided_by, offset_min FROM ledger.link WHERE kind = $kind AND id = $id ORDER BY obs_no',
    { kind, id },
  )
  const observations = await readObservations(
    warehouse,
    kind,
    links.map((link) => link.obs_no),
    new Map(links.map((link) => [link.obs_no, link])),
  )
  const numbers = withHistory(observations)
  return {
    kind,
    id,
    title: titleOf(kind, record),
    record,
    claims: await claimsOf(warehouse, kind, id),
    observations,
    amendments: await amendmentsOf(warehouse, numbers),
    related: [
      ...relatedOf(kind, record),
      ...(kind === 'load' || kind === 'flight' ? await dropsOf(warehouse, kind, id) : []),
    ],
    findings: await findingsOf(warehouse, [`${kind}:${id}`, ...numbers.map((number) => `obs:${number}`)]),
  }
}

/** Numbers of these observations and of all that they replaced. */
export const withHistory = (observations: readonly ObservationEvidence[]): number[] =>
  observations.flatMap((one) => [one.obs_no, ...withHistory(one.history)])

function titleOf(kind: EventKind, record: Fields): string {
  const at = record.dropped_at ?? record.loaded_at ?? record.off_at ?? record.offloaded_at
  const volume =
    typeof record.volume_gal === 'number'
      ? `, ${Math.round(record.volume_gal).toLocaleString('en-US')} gal`
      : ''
  return `${kind} of ${record.aircraft} at ${String(at).replace('T', ' ').replace('Z', ' UTC')}${volume}`
}

async function claimsOf(warehouse: Warehouse, kind: EventKind, id: string): Promise<Claim[]> {
  const rows = await warehouse.rows<{
    field: string
    obs_no: number
    witness: string
    value: string | null
    rank: number
  }>(
    'SELECT field, obs_no, witness, value, rank FROM ledger.claim WHERE kind = $kind AND id = $id ORDER BY field, rank',
    { kind, id },
  )
  const fields = new Map<string, Claim>()
  for (const row of rows) {
    const claim = fields.get(row.field) ?? { field: row.field, taken: null, beaten: [], rule: rules[kind] }
    const told = { value: row.value, witness: row.witness, obs: obsName(row.obs_no) }
    if (row.rank === 1) claim.taken = told
    else claim.beaten.push(told)
    fields.set(row.field, claim)
  }
  return [...fields.values()]
}

/** Amendments that name any of these observations. */
export async function amendmentsOf(
  warehouse: Warehouse,
  numbers: readonly number[],
): Promise<AmendmentEvidence[]> {
  const rows = await warehouse.rows<Omit<AmendmentEvidence, 'undone'> & { undone_by: number | null }>(
    'SELECT amendment_no, action, made_by, made_at, reason, payload::VARCHAR AS payload, undone_by FROM raw.amendment ORDER BY amendment_no',
  )
  return rows
    .filter((row) => numbers.some((number) => new RegExp(`(^|[^0-9])${number}([^0-9]|$)`).test(row.payload)))
    .map(({ undone_by, ...row }) => ({ ...row, undone: undone_by !== null }))
}

/** What the record names, itself left out. */
function relatedOf(own: EventKind, record: Fields): Related[] {
  const kinds = ['aircraft', 'tank', 'load', 'flight', 'base', 'fire'] as const
  return kinds.flatMap((kind) => {
    const id = record[kind]
    return kind !== own && typeof id === 'string' && id !== 'unattributed'
      ? [{ kind, id, label: `${kind} ${id}` }]
      : []
  })
}

/** Findings whose evidence names any of these references. */
export async function findingsOf(
  warehouse: Warehouse,
  references: readonly string[],
): Promise<FindingEvidence[]> {
  if (references.length === 0) return []
  const list = references.map((reference) => `'${reference.replaceAll("'", "''")}'`).join(', ')
  return warehouse.rows<FindingEvidence>(
    `SELECT finding_id, finding, severity, message, state FROM answers.finding WHERE list_has_any(evidence, [${list}]) ORDER BY severity, finding, finding_id`,
  )
}
