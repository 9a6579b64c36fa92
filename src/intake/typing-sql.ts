import { sqlTypes, tableName, type Witness } from '../kinds/index.ts'
import { quote } from '../values/sql/write.ts'
import { type SqlZone, sqlValue } from '../values/sql.ts'
import { isKeyed, keyHash } from './key-sql.ts'
import {
  type ColumnText,
  hasMap,
  ignoreSql,
  isBulk,
  isKeptText,
  lineNumber,
  mapName,
  mapTable,
  needsBaseZone,
  type Plan,
  rowHash,
  whereSql,
} from './plan.ts'
import { observationColumns } from './schema.ts'
import { beforeStart, isOneDate, overMidnight, spanOf, spanTrouble, tooLong } from './span.ts'
import { valueSql } from './value-sql.ts'

interface Typed {
  readonly name: string
  readonly value: string
  readonly trouble: string
}

/**
 * One statement: raw rows of the layout → observations. Rows with trouble come with fate 'quarantined', the hash of
 * the raw row in `ident`, and what is wrong where `quarantineTroubled` looks for it.
 * `rows` is an SQL condition on file_no and line; `closed` one on the kind's time for closed seasons, or null.
 */
export function typingSql(
  plan: Plan,
  rows: string,
  options: { keyZone: SqlZone; closed: string | null },
): string {
  const { kind, record, profile } = plan
  const troubleTexts = plan.columns.map((_, index) => `WHEN ${index + 1} THEN t${index}`).join(' ')
  const cells = plan.header.map((_, i) => `c${i + 1}`)
  const texts = plan.columns.map((one, index) => `${one.text ?? 'NULL::VARCHAR'} AS t${index}`)
  const typed = plan.columns.map((one, index) => typedColumn(plan, one, index))
  const joins = plan.columns.flatMap((_, index) =>
    hasMap(plan, index)
      ? [`LEFT JOIN ${mapTable(index)} ${mapName(index)} ON ${mapName(index)}.text = coalesce(t${index}, '')`]
      : [],
  )
  const pair = plan.columns.findIndex((one) => one.isPair && one.text)
  if (pair >= 0) joins.push(`LEFT JOIN temp.intake_grid grid ON grid.text = t${pair}`)
  const base = plan.columns.findIndex((one) => one.column.name === 'base')
  const baseJoin = base >= 0 ? `LEFT JOIN temp.intake_base base_map ON base_map.text = v_base` : ''
  if (base >= 0 && needsBaseZone(plan))
    joins.push(`LEFT JOIN temp.intake_base zone_map ON zone_map.text = val.tidy(t${base})`)
  const witness = witnessSql(plan)
  const own = kind.columns.filter((column) => column.name !== 'witness')
  const names = [...observationColumns.map(([name]) => name), ...own.map((column) => `"${column.name}"`)]
  const value = (name: string) => `v_${name}`
  const ident = `hash(${[quote(kind.name), quote(profile.name), 'v_witness_name', ...own.map((column) => value(column.name))].join(', ')})`
  const aircraftIndex = plan.columns.findIndex(
    (one) => one.column.name === 'aircraft' && one.column.type === 'reference',
  )
  const troubleCase = typed.map((one, index) => `WHEN ${one.trouble} THEN ${index + 1}`).join(' ')
  const span = spanOf(plan)
  const spanCase = span ? spanTrouble(span) : ''
  const spanTexts = span ? `WHEN ${beforeStart} THEN t${span.to} WHEN ${tooLong} THEN t${span.to}` : ''
  const closed =
    options.closed && kind.time
      ? ` WHEN ${options.closed.replaceAll('$time', value(kind.time))} THEN 100`
      : ''
  const exchanged = exchangedSql(plan)
  const flags = flagsSql(plan, exchanged !== null)
  const carried = plan.columns.flatMap((_, index) => [
    `t${index}`,
    ...(hasMap(plan, index)
      ? [`${mapName(index)}.has_text AS has${index}`, `${mapName(index)}.flag AS flag${index}`]
      : []),
  ])
  if (base >= 0 && needsBaseZone(plan)) carried.push('zone_map.zone AS row_zone')
  return `
INSERT INTO obs.${tableName(kind.name)}(${names.join(', ')})
WITH texts AS (
  SELECT file_no, line, ${[...texts, ...cells].join(', ')} FROM raw.layout_${plan.layoutNo}
  WHERE problem IS NULL AND ${rows} AND ${whereSql(record.where, plan.header)} AND NOT (${ignoreSql(plan)})
), typed AS (
  SELECT file_no, line, ${[...carried, ...cells].join(', ')},
    ${typed.map((one) => `${one.value} AS ${value(one.name)}`).join(',\n    ')}
  FROM texts ${joins.join('\n    ')}
), placed AS (
  ${exchanged ?? (span && isOneDate(plan, span) ? overMidnight(span) : 'FROM typed')}
), witnessed AS (
  SELECT *, ${witness} AS v_witness_name, ${flags} AS v_flags FROM placed
), judged AS (
  SELECT *, CASE ${troubleCase}${spanCase}${closed} END AS trouble, ${ident} AS ident FROM witnessed
)
SELECT ${lineNumber} + ${plan.rec}, file_no, line, ${plan.rec}, ${quote(profile.name)},
  v_witness_name, CASE WHEN trouble IS NULL THEN v_witness_name || ${quote(`:${clockName(profile)}`)} END,
  CASE WHEN trouble IS NULL THEN ${aircraftIndex >= 0 ? `t${aircraftIndex}` : 'NULL'} ELSE CASE trouble ${troubleTexts} ${spanTexts} END END, v_flags,
  CASE WHEN trouble IS NULL THEN ident ELSE ${rowHash(plan.header.length)} END, coalesce(-trouble, 1),
  CASE WHEN trouble IS NULL THEN ${keyHash(plan, options.keyZone)} END, ${isKeyed(kind)},
  CASE WHEN trouble IS NULL THEN 'accepted' ELSE 'quarantined' END, NULL, ${own.map((column) => value(column.name)).join(', ')}
FROM judged ${kind.key.by === 'event' ? baseJoin : ''}`
}

function typedColumn(plan: Plan, one: ColumnText, index: number): Typed {
  const { column } = one
  const text = `t${index}`
  const type = sqlTypes[column.type]
  if (one.text === null) {
    return { name: column.name, value: `NULL::${type}`, trouble: column.required ? 'true' : 'false' }
  }
  const value = valueSql(plan, one, index)
  const name = `v_${column.name}`
  const blank = hasMap(plan, index) ? `has${index}` : `val.tidy(${text}) IS NOT NULL`
  const range = [
    column.min === undefined ? null : `${name} < ${column.min}`,
    column.max === undefined ? null : `${name} > ${column.max}`,
  ].filter((part) => part !== null)
  const unread = isKeptText(column) ? 'false' : `(${name} IS NULL AND ${blank})`
  const missing = column.required ? `${name} IS NULL` : unread
  const outside = isBulk(column) && range.length > 0 ? ` OR ${range.join(' OR ')}` : ''
  return { name: column.name, value, trouble: `${missing}${outside}` }
}

function witnessSql(plan: Plan): string {
  const { kind, record } = plan
  if (kind.witness === null) return 'NULL::VARCHAR'
  const fallback: Witness = record.witness ?? kind.witness
  const named = plan.columns.find((one) => one.column.name === 'witness')
  return named?.text ? `coalesce(v_witness, ${quote(fallback)})` : quote(fallback)
}

/** Flags that the texts themselves give; those of the clock follow (see `flagClockTrouble`). */
function flagsSql(plan: Plan, mayBeExchanged: boolean): string {
  const index = plan.columns.findIndex((one) => one.column.type === 'coverage' && one.text !== null)
  const told = [...(index < 0 ? [] : [`flag${index}`]), ...(mayBeExchanged ? ['flag_position'] : [])]
  if (told.length === 0) return 'NULL::VARCHAR[]'
  return `CASE WHEN ${told.map((flag) => `${flag} IS NOT NULL`).join(' OR ')} THEN list_filter([${told.join(', ')}], lambda f: f IS NOT NULL) END`
}

/**
 * A drop whose latitude cannot be one, but would be a longitude, and whose longitude would be a latitude: the two were
 * exchanged, and there is no other way to read them. They are put right and flagged, since a drop held back for its
 * position would be missing from the tank's cycles. Null where the plan has no such two columns.
 */
function exchangedSql(plan: Plan): string | null {
  if (plan.kind.name !== 'drop') return null
  const place = (name: string) =>
    plan.columns.findIndex((one) => one.column.name === name && one.text !== null && !one.isPair)
  const [lat, lon] = [place('latitude'), place('longitude')]
  if (lat < 0 || lon < 0) return null
  const { decimal } = plan.profile
  const read = (index: number, axis: 'lat' | 'lon') => sqlValue.angle(`t${index}`, { axis, decimal })
  const isOut = `v_latitude IS NULL AND val.tidy(t${lat}) IS NOT NULL`
  return `SELECT * EXCLUDE (lat_of_lon, lon_of_lat) REPLACE (
      coalesce(v_latitude, lat_of_lon) AS v_latitude, CASE WHEN lat_of_lon IS NULL THEN v_longitude ELSE lon_of_lat END AS v_longitude),
      CASE WHEN lat_of_lon IS NOT NULL THEN 'position-exchanged' END AS flag_position
    FROM (SELECT *, CASE WHEN lon_of_lat IS NOT NULL THEN ${read(lon, 'lat')} END AS lat_of_lon
      FROM (SELECT *, CASE WHEN ${isOut} THEN ${read(lat, 'lon')} END AS lon_of_lat FROM typed))`
}

/** What a witness's clock is called by: files with canonical columns, whatever their kind, are of one. */
const clockName = (profile: Plan['profile']): string => (profile.isCanonical ? 'canonical' : profile.name)
