import { purposes } from '../kinds/index.ts'
import { type CarriedColumn, carriedOf } from './carried.ts'
import { fieldsOf, idLetter } from './fields.ts'
import {
  EMERGENCY_RELEASE,
  EMERGENCY_STANDS,
  MEASURED,
  OPEN_ENDED,
  witnessBit,
  witnessNames,
} from './marks.ts'
import { type EventKind, eventKinds } from './observations.ts'
import { bitOf, saidSql } from './says.ts'

const isRecorded = `n.witness_bits & ${witnessBit('controller')} > 0`

/** Columns of each ledger table that are more than what one observation gives; `r.` is that. */
const derived: Record<EventKind, Readonly<Record<string, string>>> = {
  drop: {
    is_open_ended: `n.marks & ${OPEN_ENDED} > 0`,
    purpose: `CASE WHEN n.marks & ${EMERGENCY_STANDS} > 0 THEN 'emergency' ELSE r.purpose END`,
    is_emergency_release: `n.marks & ${EMERGENCY_RELEASE} > 0`,
    is_measured: `n.marks & ${MEASURED} > 0`,
    is_recorded: isRecorded,
  },
  load: {
    volume_gal: 'coalesce(n.parts_gal, r.volume_gal)',
    meter_gal: 'n.tickets_gal',
    is_recorded: isRecorded,
  },
  flight: { is_recorded: `n.witness_bits & ${witnessBit('controller') | witnessBit('tracker')} > 0` },
  offload: { is_recorded: isRecorded },
}

/** Columns of each ledger table in order, without those that every table ends with. */
const columns: Record<EventKind, readonly string[]> = {
  drop: [
    'dropped_at',
    'volume_gal',
    'commanded_gal',
    'coverage_level',
    'is_open_ended',
    'fraction',
    'fluid',
    'purpose',
    'openings',
    'doors',
    'latitude',
    'longitude',
    'height_ft',
    'groundspeed_kt',
    'duration_s',
    'fire_text',
    'is_emergency_release',
    'is_measured',
    'is_recorded',
    'record',
  ],
  load: [
    'loaded_at',
    'started_at',
    'base_text',
    'ticket',
    'volume_gal',
    'target_gal',
    'overflow',
    'fluid',
    'method',
    'gauge_before_gal',
    'gauge_after_gal',
    'gauge_gal',
    'meter_gal',
    'is_recorded',
  ],
  flight: ['off_at', 'on_at', 'hours', 'ordered_at', 'from_base_text', 'to_base_text', 'is_recorded'],
  offload: ['offloaded_at', 'base_text', 'volume_gal', 'fluid', 'is_recorded'],
}

const names = (texts: readonly string[]): string => `[${texts.map((text) => `'${text}'`).join(', ')}]`

/** SQL of the id of an event, over `given_numbers('event')` as `n` and its aircraft as `a`. */
export const idSql = `${names(eventKinds.map((kind) => idLetter[kind]))}[n.kind_no + 1] || '-' || a.aircraft || '-'
  || strftime(make_timestamp(n.second::BIGINT * 1000000), '%Y%m%dT%H%M%SZ')
  || CASE WHEN n.turn > 1 THEN '-' || n.turn ELSE '' END`

/**
 * SQL that writes the canonical records of a kind from the given numbers `event` and `link`, and what they do not carry
 * from the view `told_<kind>`.
 * @param fetched bits of the columns that some observation gives and events do not carry
 */
export function resolveSql(kind: EventKind, fetched: number): string {
  const number = eventKinds.indexOf(kind)
  const isFetched = (name: string): boolean => (fetched & bitOf(kind, name)) !== 0
  const given = columns[kind].filter(
    (name) => name === 'purpose' || name === 'volume_gal' || !derived[kind][name],
  )
  const fetches = given.filter(isFetched)
  const givenValue = (name: string): string => {
    if (isFetched(name)) return `r.${name}`
    const carried = carriedOf[kind][name]
    return carried === undefined ? 'NULL' : carriedSql(name, carried)
  }
  const values = columns[kind].map((name) => {
    const value = given.includes(name) ? givenValue(name) : ''
    return derived[kind][name]?.replace(`r.${name}`, value) ?? value
  })
  const resolved = `LEFT JOIN (
  SELECT l.event,
${fetches.map((name) => `    ${givenSql(kind, name)} AS ${name}`).join(',\n')}
  FROM given_numbers('link') l JOIN told_${kind} o ON o.obs_no = l.obs_no::BIGINT
  WHERE l.kind_no = ${number} AND l.gives & ${fetched} > 0 GROUP BY l.event
) r ON r.event = n.event`
  return `INSERT INTO ledger.${kind}
SELECT ${idSql}, a.aircraft, ${values.join(', ')},
  w.witnesses, CASE WHEN len(w.witnesses) > 1 THEN 'corroborated' ELSE 'single' END, n.is_excluded = 1,
  a.aircraft || '-' || strftime(make_timestamp(n.segment_second::BIGINT * 1000000), '%Y%m%dT%H%M%SZ')
FROM (FROM given_numbers('event') WHERE kind_no = ${number}) n
JOIN match_aircraft a ON a.number = n.aircraft JOIN match_witnesses w ON w.bits = n.witness_bits
${fetches.length > 0 ? resolved : ''}
ORDER BY n.event;`
}

/** The value of a column that events carry. */
function carriedSql(name: string, carried: CarriedColumn): string {
  if (carried.endsWith('_us')) return `make_timestamp(n.${carried}::BIGINT)`
  return name === 'purpose' ? `${names(purposes)}[n.purpose::INTEGER + 1]` : `n.${carried}`
}

/** The sets of witnesses by their bits: `match_witnesses(bits, witnesses)`. */
export const witnessSetsSql = `CREATE OR REPLACE TEMP TABLE match_witnesses AS
SELECT bits, list_filter([${witnessNames.map((name, bit) => `CASE WHEN bits & ${1 << bit} > 0 THEN '${name}' END`).join(', ')}], lambda w: w IS NOT NULL) AS witnesses
FROM (SELECT unnest(range(0, ${1 << witnessNames.length}))::INTEGER AS bits)`

/** The value of the one observation that gives a column; tickets of parts are named together. */
function givenSql(kind: EventKind, name: string): string {
  const bit = bitOf(kind, name)
  const filter = `FILTER (l.gives & ${bit} > 0)`
  if (kind === 'load' && name === 'ticket') return `string_agg(ticket, '; ' ORDER BY l.place) ${filter}`
  const said = saidSql(kind, name)
  const isTime = fieldsOf[kind].some((field) => field.name === name && field.isTime)
  const value = isTime
    ? `CASE WHEN l.set_bits & ${bit} > 0 THEN ${said} ELSE ${said} - to_milliseconds(l.offset_ms) END`
    : said
  return `any_value(${value}) ${filter}`
}
