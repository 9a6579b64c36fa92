import { type Amending, AmendmentRefused, recordAmendment } from '../intake/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { changedSeason, closedSeasons } from './closed.ts'
import { CommandError } from './effects.ts'
import { bringUpToDate } from './update.ts'

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

/** Whether an amendment has taken a record out of the account; null where there is no such record. */
export function isExcluded(warehouse: Warehouse, kind: string, id: string): Promise<boolean | null> {
  return warehouse.value<boolean>(`SELECT is_excluded FROM ledger."${kind}" WHERE "${kind}" = $id`, { id })
}
