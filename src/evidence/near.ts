import { kindOf } from '../kinds/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { isEventKind } from './record.ts'

/**
 * What a drop, load, flight or offload may be called now: its name holds its time, which a late file or a correction moves.
 * @returns the record of that aircraft nearest in time, at most an hour away; null when there is none, or `id` holds no time.
 */
export async function nearRecord(warehouse: Warehouse, kind: string, id: string): Promise<string | null> {
  const [, aircraft, time] = /^[A-Z]-(.+)-(\d{8}T\d{6}Z)/.exec(id) ?? []
  if (!isEventKind(kind) || !aircraft || !time) return null
  const column = kindOf(kind).time
  const [found] = await warehouse.rows<{ id: string }>(
    `SELECT "${kind}" AS id FROM ledger."${kind}", (SELECT try_strptime($time, '%Y%m%dT%H%M%SZ') AS named_at)
     WHERE aircraft = $aircraft AND "${column}" BETWEEN named_at - INTERVAL 1 HOUR AND named_at + INTERVAL 1 HOUR
     ORDER BY abs(epoch("${column}") - epoch(named_at)), id LIMIT 1`,
    { time, aircraft },
  )
  return found?.id ?? null
}
