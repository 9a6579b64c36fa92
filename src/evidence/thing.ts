import type { KindName } from '../kinds/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { dropsOf, mostRelated } from './drops.ts'
import { readObservations } from './observations.ts'
import { amendmentsOf, findingsOf } from './record.ts'
import type { Evidence, Fields, Related } from './types.ts'

export type ThingKind = 'tank' | 'component' | 'fire' | 'base' | 'aircraft' | 'invoice-line'

/** Where a thing stands on record, and where its story is told. */
const registers: Record<
  Exclude<ThingKind, 'invoice-line'>,
  { table: string; key: string; stories: readonly { kind: KindName; table: string; where: string }[] }
> = {
  tank: {
    table: 'tank',
    key: 'serial',
    stories: [
      { kind: 'mounting', table: 'mounting', where: 'tank = $id' },
      { kind: 'fitting', table: 'fitting', where: 'tank = $id' },
      { kind: 'baseline', table: 'baseline', where: 'item = $id' },
      { kind: 'accomplishment', table: 'accomplishment', where: 'item = $id' },
      { kind: 'adjustment', table: 'adjustment', where: 'tank = $id' },
    ],
  },
  component: {
    table: 'component',
    key: 'serial',
    stories: [
      { kind: 'fitting', table: 'fitting', where: 'component = $id' },
      { kind: 'baseline', table: 'baseline', where: 'item = $id' },
      { kind: 'accomplishment', table: 'accomplishment', where: 'item = $id' },
    ],
  },
  fire: { table: 'fire', key: 'number', stories: [] },
  base: { table: 'base', key: 'code', stories: [] },
  aircraft: {
    table: 'aircraft',
    key: 'registration',
    stories: [{ kind: 'mounting', table: 'mounting', where: 'aircraft = $id' }],
  },
}

/** Everything on record about one thing. */
export async function thingEvidence(
  warehouse: Warehouse,
  kind: ThingKind,
  id: string,
): Promise<Evidence | null> {
  if (kind === 'invoice-line') return invoiceLineEvidence(warehouse, id)
  const register = registers[kind]
  const rows = await warehouse.rows<Fields & { obs_no: number }>(
    `SELECT * EXCLUDE (ident, key_hash) FROM obs.${register.table} WHERE ${register.key} = $id AND fate = 'accepted' ORDER BY obs_no`,
    { id },
  )
  const newest = rows.at(-1)
  if (!newest) return null
  const observations = await readObservations(
    warehouse,
    kind,
    rows.map((row) => row.obs_no),
  )
  for (const story of register.stories) {
    const told = await warehouse.rows<{ obs_no: number }>(
      `SELECT obs_no FROM obs.${story.table} WHERE ${story.where} AND fate = 'accepted' ORDER BY obs_no`,
      { id },
    )
    observations.push(
      ...(await readObservations(
        warehouse,
        story.kind,
        told.map((row) => row.obs_no),
      )),
    )
  }
  return {
    kind,
    id,
    title: `${kind} ${id}`,
    record: observations[0]?.values ?? {},
    claims: [],
    observations,
    amendments: await amendmentsOf(
      warehouse,
      rows.map((row) => row.obs_no),
    ),
    related: kind === 'component' ? [] : await dropsOf(warehouse, kind, id),
    findings: await findingsOf(warehouse, [`${kind}:${id}`]),
  }
}

/** An invoice line is named `INVOICE/LINE` or `CONTRACT/INVOICE/LINE`. */
async function invoiceLineEvidence(warehouse: Warehouse, id: string): Promise<Evidence | null> {
  const parts = id.split('/')
  const line = parts.at(-1) ?? ''
  const invoice = parts.at(-2) ?? ''
  const contract = parts.length > 2 ? parts.slice(0, -2).join('/') : null
  const rows = await warehouse.rows<{ obs_no: number; contract: string }>(
    `SELECT obs_no, contract FROM obs.invoice_line WHERE invoice = $invoice AND line = $line AND ($contract IS NULL OR contract = $contract) AND fate = 'accepted' ORDER BY obs_no`,
    { invoice, line, contract },
  )
  if (rows.length === 0) return null
  const observations = await readObservations(
    warehouse,
    'invoice-line',
    rows.map((row) => row.obs_no),
  )
  const names = rows.map((row) => `${row.contract}/${invoice}/${line}`)
  const [verdict] = await warehouse.rows(
    'SELECT * EXCLUDE (evidence) FROM contracts.line WHERE contract = $contract AND invoice = $invoice AND line = $line',
    { contract: rows[0]!.contract, invoice, line },
  )
  return {
    kind: 'invoice-line',
    id,
    title: `invoice ${invoice}, line ${line}`,
    record: { ...observations[0]?.values, ...verdict },
    claims: [],
    observations,
    amendments: await amendmentsOf(
      warehouse,
      rows.map((row) => row.obs_no),
    ),
    related: await behindLines(warehouse, names),
    findings: await findingsOf(
      warehouse,
      names.map((name) => `invoice-line:${name}`),
    ),
  }
}

/** Loads, drops, flights, days and other lines that lines were held against. */
async function behindLines(warehouse: Warehouse, names: readonly string[]): Promise<Related[]> {
  const rows = await warehouse.rows<{ kind: string; id: string }>(
    `SELECT DISTINCT kind, id FROM contracts.evidence
     WHERE list_contains(string_split($names, chr(10)), concat_ws('/', contract, invoice, line)) ORDER BY kind, id LIMIT ${mostRelated}`,
    { names: names.join('\n') },
  )
  return rows.map((row) => ({ ...row, label: `${row.kind} ${row.id}` }))
}
