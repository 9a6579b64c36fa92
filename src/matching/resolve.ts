import { fieldsOf } from './fields.ts'
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

const isRecorded = `e.witness_bits & ${witnessBit('controller')} > 0`

/** Columns of each ledger table that are more than what one observation gives; `r.` is that. */
const derived: Record<EventKind, Readonly<Record<string, string>>> = {
  drop: {
    is_open_ended: `e.marks & ${OPEN_ENDED} > 0`,
    purpose: `CASE WHEN e.marks & ${EMERGENCY_STANDS} > 0 THEN 'emergency' ELSE r.purpose END`,
    is_emergency_release: `e.marks & ${EMERGENCY_RELEASE} > 0`,
    is_measured: `e.marks & ${MEASURED} > 0`,
    is_recorded: isRecorded,
  },
  load: {
    volume_gal: 'coalesce(e.parts_gal, r.volume_gal)',
    meter_gal: 'e.tickets_gal',
    is_recorded: isRecorded,
  },
  flight: { is_recorded: `e.witness_bits & ${witnessBit('controller') | witnessBit('tracker')} > 0` },
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

/**
 * SQL that writes the canonical records of a kind from the working tables `match_event` (event, id, aircraft, witness_bits,
 * marks, parts_gal, tickets_gal, segment, is_excluded) and `match_link` (event, kind_no, obs_no, offset_ms, place, gives, set_bits)
 * and the view `told_<kind>`.
 */
export function resolveSql(kind: EventKind): string {
  const given = columns[kind].filter(
    (name) => name === 'purpose' || name === 'volume_gal' || !derived[kind][name],
  )
  return `INSERT INTO ledger.${kind}
WITH resolved AS (
  SELECT l.event,
${given.map((name) => `    ${givenSql(kind, name)} AS ${name}`).join(',\n')}
  FROM match_link l JOIN told_${kind} o ON o.obs_no = l.obs_no WHERE l.kind_no = ${eventKinds.indexOf(kind)} GROUP BY l.event
)
SELECT e.id, e.aircraft, ${columns[kind].map((name) => derived[kind][name] ?? `r.${name}`).join(', ')},
  w.witnesses, CASE WHEN len(w.witnesses) > 1 THEN 'corroborated' ELSE 'single' END, e.is_excluded, e.segment
FROM resolved r JOIN match_event e ON e.event = r.event JOIN match_witnesses w ON w.bits = e.witness_bits
ORDER BY e.event;`
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
