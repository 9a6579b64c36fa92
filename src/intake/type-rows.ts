import { type KindName, kinds, tableName } from '../kinds/index.ts'
import type { Profile } from '../sources/index.ts'
import { type SqlZone, sqlValue } from '../values/sql.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { flagClockTrouble } from './clock-trouble.ts'
import type { ReadContext } from './column-reader.ts'
import { mapFewTexts, readDistinct } from './distinct.ts'
import type { FileList } from './file-list.ts'
import { readKeyZone, zoneOfKeys } from './key-zone.ts'
import { type Plan, planOf } from './plan.ts'
import { quarantineTroubled, quarantineUnfit } from './quarantine.ts'
import { type NameBooks, readBaseZones, readNameBooks } from './registry.ts'
import { typingSql } from './typing-sql.ts'

/** Files that share a profile and a layout: typed together. */
export interface Batch {
  readonly profile: Profile
  readonly layoutNo: number
  readonly header: readonly string[]
  readonly files: FileList
  /** SQL condition on file_no and line that picks the rows. */
  readonly rows: string
}

const bookKinds = new Set<KindName>(['aircraft', 'tank', 'component', 'base'])

export const kindOrder: readonly KindName[] = kinds.map((kind) => kind.name)

/**
 * Types the rows of the batches kind by kind, registry first, so that a name learned from one file helps the next.
 * @param settle is called after each kind that got rows, and says which rows stand.
 */
export async function typeRows(
  warehouse: Warehouse,
  batches: readonly Batch[],
  settle: (kind: KindName) => Promise<void>,
): Promise<void> {
  const closed = await readClosed(warehouse)
  let known: Known | null = null
  for (const kindName of kindOrder) {
    const due = batches.flatMap((batch) =>
      batch.profile.records.flatMap((record, rec) => (record.kind === kindName ? [{ batch, rec }] : [])),
    )
    if (due.length === 0) continue
    known ??= await readKnown(warehouse)
    for (const { batch, rec } of due) {
      const plan = planOf(batch.profile, rec, batch.layoutNo, batch.header, known.zones)
      await typePlan(warehouse, plan, batch, known, closed)
    }
    await settle(kindName)
    if (bookKinds.has(kindName)) known = null
  }
  for (const batch of batches) {
    const plans = batch.profile.records.map((_, rec) =>
      planOf(batch.profile, rec, batch.layoutNo, batch.header, []),
    )
    await quarantineUnfit(warehouse, plans, batch.rows)
    if (plans.length > 1) await holdBackWhole(warehouse, plans, batch.files)
  }
}

/** What names mean, and in which zones, as long as no row of a kind in `bookKinds` comes. */
interface Known {
  readonly books: NameBooks
  readonly keyZone: string
  /** Zones of bases. */
  readonly zones: readonly string[]
}

async function readKnown(warehouse: Warehouse): Promise<Known> {
  const books = await readNameBooks(warehouse)
  const keyZone = await readKeyZone(warehouse)
  const zones = [...new Set((await readBaseZones(warehouse)).values())].sort()
  return { books, keyZone, zones }
}

async function typePlan(
  warehouse: Warehouse,
  plan: Plan,
  { rows, files }: Batch,
  known: Known,
  closed: readonly Closed[],
): Promise<void> {
  const { profile } = plan
  const context: ReadContext = {
    decimal: profile.decimal,
    zone: profile.zone && 'name' in profile.zone ? profile.zone.name : null,
    densityLbPerGal: profile.densityLbPerGal,
    books: known.books,
  }
  await readDistinct(warehouse, plan, rows, context)
  const mapped = await mapFewTexts(warehouse, plan, rows)
  const keyZone = zoneOfKeys(profile.zone, known.keyZone)
  // Rows of an open transaction are unknown to the planner: left alone, it would hash the many rows to look up the few.
  await warehouse.run("SET disabled_optimizers = 'build_side_probe_side'")
  try {
    await warehouse.run(typingSql(mapped, rows, { keyZone, closed: closedSql(closed, keyZone) }))
  } finally {
    await warehouse.run('RESET disabled_optimizers')
  }
  await quarantineTroubled(warehouse, plan, files, context)
  await flagClockTrouble(warehouse, plan, files, rows)
}

interface Closed {
  readonly first_day: string
  readonly last_day: string
  readonly after_file: number
}

const readClosed = (warehouse: Warehouse): Promise<Closed[]> =>
  warehouse.rows(
    'SELECT first_day, last_day, after_file FROM raw.closed_season WHERE until_file IS NULL ORDER BY after_file',
  )

/** SQL condition on `$time` for rows that came after their season was closed, or null when none is. */
function closedSql(closed: readonly Closed[], zone: SqlZone): string | null {
  if (closed.length === 0) return null
  const day = sqlValue.localDate('$time', zone)
  return closed
    .map(
      (one) =>
        `(${day} BETWEEN DATE '${one.first_day}' AND DATE '${one.last_day}' AND file_no > ${one.after_file})`,
    )
    .join(' OR ')
}

/** A row of which one entry is in quarantine gives nothing to the other entries. */
async function holdBackWhole(warehouse: Warehouse, plans: readonly Plan[], files: FileList): Promise<void> {
  for (const plan of plans) {
    await warehouse.run(
      `UPDATE obs.${tableName(plan.kind.name)} SET fate = 'quarantined', key_hash = NULL, source = NULL
       WHERE ${files.own} AND fate <> 'quarantined' AND profile = $profile AND EXISTS
       (SELECT 1 FROM obs.quarantine q WHERE q.file_no = obs.${tableName(plan.kind.name)}.file_no AND q.line = obs.${tableName(plan.kind.name)}.line_no)`,
      { profile: plan.profile.name },
    )
  }
}
