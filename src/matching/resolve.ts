import { type Field, fieldsOf, rankSql } from './fields.ts'
import type { EventKind } from './observations.ts'

/** Columns of each ledger table that are no plain precedence, over the claims of one event. */
const derived: Record<EventKind, Readonly<Record<string, string>>> = {
  drop: {
    is_open_ended: `coalesce(bool_or(list_contains(flags, 'open-ended') AND coverage_level IS NOT NULL), false)`,
    is_emergency_release: `coalesce(bool_or(witness = 'controller' AND purpose = 'emergency'), false)`,
    is_measured: `coalesce(bool_or(witness = 'controller' AND volume_gal IS NOT NULL), false)`,
    is_recorded: `bool_or(witness = 'controller')`,
    record: `arg_min(record, place) FILTER (witness = 'controller')`,
  },
  load: {
    gauge_gal: `arg_min(coalesce(volume_gal, gauge_after_gal - gauge_before_gal), place) FILTER (witness = 'controller')`,
    meter_gal: `sum(volume_gal ORDER BY place) FILTER (witness = 'ticket' AND (role = 'part' OR place = first_ticket))`,
    is_recorded: `bool_or(witness = 'controller')`,
  },
  flight: { is_recorded: `bool_or(witness IN ('controller', 'tracker'))` },
  offload: { is_recorded: `bool_or(witness = 'controller')` },
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
 * SQL that writes the canonical records of a kind from the working tables `match_event` (event, kind, id, aircraft,
 * segment, is_excluded) and `match_link` (event, kind, obs_no, offset_ms, role, place) and the view `told_<kind>`.
 */
export function resolveSql(kind: EventKind): string {
  const resolved = columns[kind].map((name) => `    ${expression(kind, name)} AS ${name}`).join(',\n')
  const loadColumns =
    kind === 'load'
      ? `,\n    min(place) FILTER (witness = 'ticket') OVER (PARTITION BY event) AS first_ticket`
      : ''
  return `INSERT INTO ledger.${kind}
WITH claims AS (
  SELECT *${loadColumns} FROM (
    SELECT l.event, l.offset_ms, l.role, l.place, o.*
    FROM match_link l JOIN told_${kind} o ON o.obs_no = l.obs_no)
),
resolved AS (
  SELECT event,
${resolved},${kind === 'drop' ? `\n    ${purposeStands} AS purpose_stands,` : ''}
    bit_or(${witnessBits}) AS witness_bits
  FROM claims GROUP BY event
)
SELECT e.id, e.aircraft, ${columns[kind].map((name) => (name === 'purpose' ? purposeOf : `r.${name}`)).join(', ')},
  w.witnesses, CASE WHEN len(w.witnesses) > 1 THEN 'corroborated' ELSE 'single' END, e.is_excluded, e.segment
FROM resolved r JOIN match_event e ON e.event = r.event JOIN match_witnesses w ON w.bits = r.witness_bits
ORDER BY e.event;`
}

/** Against a controller's emergency the crew's word stands only where it names fire, training or ground-test; a person's always. */
const purposeOf = `CASE WHEN r.is_emergency_release AND NOT coalesce(r.purpose_stands, false) THEN 'emergency' ELSE r.purpose END`
const purposeRank = rankSql(fieldsOf.drop.find((field) => field.name === 'purpose')!)
const purposeStands = `arg_min(CASE WHEN purpose IS NULL THEN NULL
      ELSE witness = 'manual' OR coalesce(list_contains(set_fields, 'purpose'), false)
        OR (witness = 'crew' AND purpose IN ('fire', 'training', 'ground-test')) END, ${purposeRank})`

/** One bit per witness, in alphabetical order. */
export const witnessNames = ['controller', 'crew', 'dispatch', 'manual', 'ticket', 'tracker'] as const
const witnessBits = `CASE witness ${witnessNames.map((name, bit) => `WHEN '${name}' THEN ${1 << bit}`).join(' ')} ELSE 0 END`

/** The sets of witnesses by their bits: `match_witnesses(bits, witnesses)`. */
export const witnessSetsSql = `CREATE OR REPLACE TEMP TABLE match_witnesses AS
SELECT bits, list_filter([${witnessNames.map((name, bit) => `CASE WHEN bits & ${1 << bit} > 0 THEN '${name}' END`).join(', ')}], lambda w: w IS NOT NULL) AS witnesses
FROM (SELECT unnest(range(0, ${1 << witnessNames.length}))::INTEGER AS bits)`

function expression(kind: EventKind, name: string): string {
  const special = derived[kind][name]
  if (special) return special
  const field = fieldsOf[kind].find((candidate) => candidate.name === name)
  if (!field) throw new Error(`${kind} has no field ${name}`)
  return taken(kind, field)
}

function taken(kind: EventKind, field: Field): string {
  const conditions = [
    ...(field.fromSummary ? [] : [`role <> 'summary'`]),
    ...(field.with ? [`${field.with} IS NOT NULL`] : []),
  ]
  const filter = conditions.length > 0 ? ` FILTER (${conditions.join(' AND ')})` : ''
  const rank = rankSql(field)
  if (field.isTime) {
    const at = `CASE WHEN list_contains(set_fields, '${field.from}') THEN ${field.from} ELSE ${field.from} - to_milliseconds(offset_ms) END`
    return `arg_min(${at}, ${rank})${filter}`
  }
  if (kind === 'load' && field.name === 'volume_gal') return loadVolume(rank)
  if (kind === 'load' && field.name === 'ticket') {
    return `CASE WHEN bool_or(role = 'part') THEN string_agg(ticket, '; ' ORDER BY place) FILTER (role = 'part') ELSE arg_min(ticket, ${rank}) END`
  }
  return `arg_min(${field.from}, ${rank})${filter}`
}

/** Parts of one fill add up. */
function loadVolume(rank: string): string {
  return `CASE WHEN bool_or(role = 'part') AND min(CASE WHEN volume_gal IS NOT NULL THEN ${rank} END)
      = min(CASE WHEN volume_gal IS NOT NULL AND role = 'part' THEN ${rank} END)
    THEN sum(volume_gal ORDER BY place) FILTER (role = 'part') ELSE arg_min(volume_gal, ${rank}) END`
}
