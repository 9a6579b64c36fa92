import { type Kind, tableName } from '../kinds/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import type { FileList } from './file-list.ts'
import { hasTicket } from './key-sql.ts'

const dayMs = 86_400_000
/** No zone is two days from UTC. */
const zoneMs = 2 * dayMs

/**
 * SQL condition on its time that every row meets which can share its key, or its content, with a row of the named
 * files: the database then passes over the rows of other times without looking. `true` where keys know no time.
 */
export async function reachOfKeys(warehouse: Warehouse, kind: Kind, files: FileList): Promise<string> {
  const knowsTime = kind.key.by !== 'columns' || kind.key.columns.includes(kind.time ?? '')
  if (kind.time === null || !knowsTime) return 'true'
  const hasTickets = hasTicket(kind) ? 'coalesce(bool_or(ticket IS NOT NULL), false)' : 'false'
  const [span] = await warehouse.rows<{ first_ms: number | null; last_ms: number; has_tickets: boolean }>(
    `SELECT epoch_ms(min("${kind.time}"))::DOUBLE AS first_ms, epoch_ms(max("${kind.time}"))::DOUBLE AS last_ms, ${hasTickets} AS has_tickets
     FROM obs.${tableName(kind.name)} WHERE ${files.own} AND key_hash IS NOT NULL`,
  )
  if (!span || span.first_ms === null) return 'false'
  const [from, to] = widened(kind, span.first_ms, span.last_ms, span.has_tickets)
  return `"${kind.time}" BETWEEN make_timestamp(${from}000) AND make_timestamp(${to}000)`
}

/** A ticket is known by its year, a record number by its day, each in a zone; all else by its minute. */
function widened(kind: Kind, firstMs: number, lastMs: number, hasTickets: boolean): [number, number] {
  if (kind.key.by !== 'event') return [firstMs, lastMs + 1]
  const [from, to] = [firstMs - zoneMs, lastMs + zoneMs]
  if (!hasTickets) return [from - dayMs, to + dayMs]
  const yearStart = (ms: number, later: number): number =>
    Date.UTC(new Date(ms).getUTCFullYear() + later, 0, 1)
  return [yearStart(from, 0) - zoneMs, yearStart(to, 1) + zoneMs]
}
