import type { Kind } from '../kinds/index.ts'
import { quote } from '../values/sql/write.ts'
import { type SqlZone, sqlValue } from '../values/sql.ts'
import type { Plan } from './plan.ts'

const names = (kind: Kind): readonly string[] => kind.columns.map((column) => column.name)
const hasRecord = (kind: Kind): boolean =>
  kind.key.by === 'event' && kind.name !== 'assessment' && names(kind).includes('record')
/** True for kinds of which a row may be known by its ticket. */
export const hasTicket = (kind: Kind): boolean => kind.key.by === 'event' && names(kind).includes('ticket')

/** SQL: does the row carry a key of its own (a ticket, a record number, an identifier)? */
export function isKeyed(kind: Kind): string {
  if (kind.key.by === 'columns') return 'true'
  const parts = [
    ...(hasTicket(kind) ? ['v_ticket IS NOT NULL'] : []),
    ...(hasRecord(kind) ? ['v_record IS NOT NULL'] : []),
  ]
  return parts.length === 0 ? 'false' : `(${parts.join(' OR ')})`
}

/** SQL: does a row fall on another day in one zone than in the other? Null for kinds without a time. */
export function movesDay(kind: Kind, from: SqlZone, to: SqlZone): string | null {
  return kind.time === null ? null : daysOf(kind, from, to).join(' <> ')
}

const daysOf = (kind: Kind, ...zones: readonly SqlZone[]): string[] =>
  zones.map((zone) => sqlValue.localDate(`"${kind.time}"`, zone))

/** SQL: does a row's key name another day, or for a ticket another year, in one zone than in the other? Null for kinds whose keys name none. */
export function movesKey(kind: Kind, from: SqlZone, to: SqlZone): string | null {
  const [before, after] = daysOf(kind, from, to)
  const byDay = `record IS NOT NULL AND ${before} <> ${after}`
  const byYear = `year(${before}) <> year(${after})`
  if (!hasTicket(kind)) return hasRecord(kind) ? byDay : null
  return `CASE WHEN ticket IS NOT NULL THEN ${byYear} ELSE ${hasRecord(kind) ? byDay : 'false'} END`
}

/**
 * SQL of the 64-bit key by which two rows are tellings of one record (see `KeyRule`): a ticket is base + season +
 * number; a record number belongs to its aircraft and day, and to its source unless a controller gave it; without
 * either it is the source, the aircraft and the minute. A registration is the same with dashes and without.
 */
export function keyHash(plan: Plan, zone: SqlZone): string {
  const { kind } = plan
  const profile = quote(plan.profile.name)
  if (kind.key.by === 'content') return 'ident'
  if (kind.key.by === 'columns') {
    const parts = kind.key.columns.map((name) => {
      const season = /^season\((\w+)\)$/.exec(name)
      if (season) return `coalesce(year(v_${season[1]}), 0)`
      return name === 'registration' ? `val.name_key(v_${name})` : `v_${name}`
    })
    return `hash(${[quote(kind.name), ...(kind.key.perSource ? ['v_witness_name', profile] : []), ...parts].join(', ')})`
  }
  const time = `v_${kind.time}`
  const day = sqlValue.localDate(time, zone)
  const minute = `hash('minute', ${quote(kind.name)}, v_witness_name, ${profile}, v_aircraft, date_trunc('minute', ${time}))`
  const cases: string[] = []
  if (hasTicket(kind)) {
    cases.push(
      `WHEN v_ticket IS NOT NULL THEN hash('ticket', v_witness_name, coalesce(base_map.value, upper(v_base)), year(${day}), coalesce(val.ticket_key(v_ticket), v_ticket))`,
    )
  }
  if (hasRecord(kind)) {
    const owner = `CASE WHEN v_witness_name = 'controller' THEN '' ELSE ${profile} END`
    cases.push(
      `WHEN v_record IS NOT NULL THEN hash('record', ${quote(kind.name)}, v_witness_name, ${owner}, v_aircraft, ${day}, v_record)`,
    )
  }
  return cases.length === 0 ? minute : `CASE ${cases.join(' ')} ELSE ${minute} END`
}
