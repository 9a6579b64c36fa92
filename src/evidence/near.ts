import type { Warehouse } from '../warehouse/index.ts'

const timeColumns: Readonly<Record<string, string>> = {
  drop: 'dropped_at',
  load: 'loaded_at',
  flight: 'off_at',
  offload: 'offloaded_at',
}

/**
 * What a drop, load, flight or offload may be called now: its name holds its time, which a late file or a correction moves.
 * @returns the record of that aircraft nearest in time, at most an hour away; null when there is none, or `id` holds no time.
 */
export async function nearRecord(warehouse: Warehouse, kind: string, id: string): Promise<string | null> {
  const column = timeColumns[kind]
  const [, aircraft, day, time] = /^[A-Z]-(.+)-(\d{8})T(\d{6})Z/.exec(id) ?? []
  if (!column || !aircraft || !day || !time) return null
  const at = `${day.slice(0, 4)}-${day.slice(4, 6)}-${day.slice(6)} ${time.slice(0, 2)}:${time.slice(2, 4)}:${time.slice(4)}`
  const [found] = await warehouse.rows<{ id: string }>(
    `SELECT "${kind}" AS id FROM ledger."${kind}", (SELECT TRY_CAST($at AS TIMESTAMP) AS named_at)
     WHERE aircraft = $aircraft AND "${column}" BETWEEN named_at - INTERVAL 1 HOUR AND named_at + INTERVAL 1 HOUR
     ORDER BY abs(epoch("${column}") - epoch(named_at)), id LIMIT 1`,
    { at, aircraft },
  )
  return found?.id ?? null
}
