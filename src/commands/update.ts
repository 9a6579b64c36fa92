import { account, type Change } from '../account/index.ts'
import { reconcile } from '../contracts/index.ts'
import { type Assessed, assess } from '../effectiveness/index.ts'
import { maintain } from '../maintenance/index.ts'
import { match } from '../matching/index.ts'
import type { Warehouse } from '../warehouse/index.ts'

/**
 * Brings ledger, account, maintenance and invoices up to date with the observations, touching what changed.
 * Called inside the transaction that changed them, so that a cut leaves the old state whole.
 */
export async function bringUpToDate(warehouse: Warehouse): Promise<void> {
  await warehouse.onOneThread(() => warehouse.transaction(() => bringChanged(warehouse)))
}

async function bringChanged(warehouse: Warehouse): Promise<void> {
  const fires = Number(await warehouse.value("SELECT count(*) FROM obs.registry_changed WHERE kind = 'fire'"))
  // What maintenance and contracts make of the account knows no fires.
  const registry = Number(
    await warehouse.value("SELECT count(*) FROM obs.registry_changed WHERE kind <> 'fire'"),
  )
  const pending = Number(await warehouse.value('SELECT count(*) FROM obs.pending'))
  if (fires === 0 && registry === 0 && pending === 0) return
  const { aircraft, from_s } = await match(warehouse, {})
  const tracked = await warehouse.rows<{ aircraft: string; first_s: number | null }>(
    `SELECT aircraft, epoch_ms(min(first_at)) / 1000 AS first_s FROM obs.pending
     WHERE kind = 'position' AND aircraft IS NOT NULL GROUP BY aircraft ORDER BY aircraft`,
  )
  const since_s = Math.min(from_s, ...tracked.map((row) => row.first_s ?? Number.NEGATIVE_INFINITY))
  const changed = await account(warehouse, {
    aircraft: [...new Set([...aircraft, ...tracked.map((row) => row.aircraft)])],
    ...(since_s === Number.NEGATIVE_INFINITY ? {} : { since: dayBefore(since_s) }),
  })
  if (registry > 0 || changed !== null) {
    await maintain(warehouse, registry > 0 || changed === null ? 'all' : changed)
    await reconcile(warehouse, registry > 0 || changed === null ? 'all' : changed)
  }
  await assess(warehouse, registry > 0 ? 'all' : await toAssess(warehouse, changed))
  await warehouse.run('DELETE FROM obs.pending; DELETE FROM obs.registry_changed')
}

/** Two days before a moment, in seconds since 1970: a clock put right moves a record by hours. */
function dayBefore(moment_s: number): string {
  const last_s = Date.parse('9999-01-01') / 1000
  return new Date((Math.min(last_s, moment_s) - 2 * 86_400) * 1000).toISOString().slice(0, 10)
}

/** What the assessment rests on that is new: the account of some aircraft, and assessments; new traces are looked at whole. */
async function toAssess(warehouse: Warehouse, changed: Change): Promise<Assessed> {
  const said = await warehouse.rows<{ kind: string; aircraft: string | null; first_at: string | null }>(
    `SELECT kind, aircraft, min(first_at)::VARCHAR AS first_at FROM obs.pending WHERE kind IN ('trace', 'assessment') GROUP BY kind, aircraft`,
  )
  const isPlain = said.every(
    (one) => one.kind === 'assessment' && one.aircraft !== null && one.first_at !== null,
  )
  if (changed === 'all' || !isPlain) return 'all'
  const times = [...said.map((one) => String(one.first_at)), ...(changed ? [changed.since] : [])].sort()
  return {
    aircraft: [...new Set([...(changed?.aircraft ?? []), ...said.map((one) => String(one.aircraft))])],
    tanks: changed?.tanks ?? [],
    since: times[0] ?? '9999-12-31 00:00:00',
  }
}

/** Everything anew: after an amendment that reaches further than one aircraft, or a change of settings. */
export async function bringAllUpToDate(warehouse: Warehouse): Promise<void> {
  await warehouse.onOneThread(() =>
    warehouse.transaction(async () => {
      await match(warehouse, 'all')
      await account(warehouse, 'all')
      await maintain(warehouse)
      await reconcile(warehouse)
      await assess(warehouse)
      await warehouse.run('DELETE FROM obs.pending; DELETE FROM obs.registry_changed')
    }),
  )
}
