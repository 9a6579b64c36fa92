import { tableName } from '../kinds/index.ts'
import { isBlank } from '../values/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { type ReadContext, readColumn } from './column-reader.ts'
import type { FileList } from './file-list.ts'
import { ignoreSql, type Plan, rowHash, whereSql, zoneSql } from './plan.ts'
import { beforeStart, spanReason, tooLong } from './span.ts'

const closedSeason = 100

const noZone =
  'the time stands in the zone of its base, and no base on record has the name in this row; add the base, or an alias, and the row is tried again'

/**
 * A row in quarantine carries the place of its first troubled column (1-based, in the order of the kind), made
 * negative, in `occ`, which counts equal rows that stand; and that column's text in `aircraft_text`.
 */
interface Troubled {
  file_no: number
  line: number
  trouble: number
  text: string | null
  raw_hash: string
}

/**
 * Puts the rows that the typing statement marked into quarantine, each with its column, its text and the reason in
 * plain words. They stay in their table with the fate 'quarantined' (taking rows out of a table that was filled in the
 * same transaction would write all of it twice). A row is held back whole: other entries of the profile lose it too.
 */
export async function quarantineTroubled(
  warehouse: Warehouse,
  plan: Plan,
  files: FileList,
  context: ReadContext,
): Promise<number> {
  const table = `obs.${tableName(plan.kind.name)}`
  const rows = await warehouse.rows<Troubled>(
    `
    SELECT file_no, line_no AS line, -occ AS trouble, aircraft_text AS text, ident::VARCHAR AS raw_hash
    FROM ${table} o WHERE ${files.own} AND fate = 'quarantined' AND occ < 0 AND rec = ${plan.rec} AND profile = $profile
      AND NOT EXISTS (SELECT 1 FROM obs.quarantine q WHERE q.file_no = o.file_no AND q.line = o.line_no AND q.rec = o.rec)
    ORDER BY file_no, line_no`,
    { profile: plan.profile.name },
  )
  if (rows.length === 0) return 0
  const reasons = rows.map((row) => describe(plan, row, context))
  await warehouse.append('obs.quarantine', {
    file_no: rows.map((row) => row.file_no),
    line: rows.map((row) => row.line),
    rec: rows.map(() => plan.rec),
    profile: rows.map(() => plan.profile.name),
    kind: rows.map(() => plan.kind.name),
    field: reasons.map((one) => one.field),
    text: reasons.map((one) => one.text),
    reason: reasons.map((one) => one.reason),
    raw_hash: rows.map((row) => row.raw_hash),
  })
  return rows.length
}

function describe(
  plan: Plan,
  row: Troubled,
  context: ReadContext,
): { field: string; text: string | null; reason: string } {
  if (row.trouble === closedSeason) {
    return {
      field: plan.kind.time ?? '',
      text: null,
      reason: 'season-closed: the season is closed; re-open it with a reason to take this row',
    }
  }
  const { span } = plan.kind
  const isSpan = row.trouble === beforeStart || row.trouble === tooLong
  if (span && isSpan) return { field: span.to, text: row.text, reason: spanReason(span, row.trouble) }
  const one = plan.columns[row.trouble - 1]!
  const { text } = row
  const name = one.field && one.field.from.length > 0 ? one.field.from.join(' + ') : one.column.name
  if (one.text === null)
    return {
      field: one.column.name,
      text: null,
      reason: `${one.column.name} is required and the file has no column for it`,
    }
  if (text === null || isBlank(text))
    return { field: name, text, reason: `${one.column.name} is required and the cell is blank` }
  const meant =
    Object.entries(one.field?.values ?? {}).find(
      ([from]) => from.trim().toLowerCase() === text.trim().toLowerCase(),
    )?.[1] ?? text
  const read = readColumn(one.column, one.field, meant, context)
  if (!read.ok) return { field: name, text, reason: read.reason }
  const isZoneOfBase = one.column.type === 'time' && 'expr' in (zoneSql(plan, one.field) ?? {})
  return { field: name, text, reason: isZoneOfBase ? noZone : `cannot be read as ${one.column.about}` }
}

/**
 * Quarantines rows that no entry of their profile takes, and rows that the file itself could not give whole.
 * `rows` is an SQL condition on file_no and line.
 */
export async function quarantineUnfit(
  warehouse: Warehouse,
  plans: readonly Plan[],
  rows: string,
): Promise<void> {
  const plan = plans[0]
  if (!plan) return
  const hash = rowHash(plan.header.length)
  const profile = plan.profile.name
  await warehouse.run(
    `INSERT INTO obs.quarantine(file_no, line, rec, profile, kind, field, text, reason, raw_hash)
     SELECT file_no, line, 0, $profile, NULL, NULL, surplus, problem, hash(surplus, problem)
     FROM raw.layout_${plan.layoutNo} WHERE ${rows} AND problem IS NOT NULL`,
    { profile },
  )
  const takes = plans.map((one) => `(${whereSql(one.record.where, one.header)})`).join(' OR ')
  if (takes.includes('(true)')) return
  const selectors = [...new Set(plans.flatMap((one) => Object.keys(one.record.where)))].join(', ')
  await warehouse.run(
    `INSERT INTO obs.quarantine(file_no, line, rec, profile, kind, field, text, reason, raw_hash)
     SELECT file_no, line, 0, $profile, NULL, $selectors, concat_ws(', ', ${selectorCells(plans)}), 'the row fits no record kind of its profile', ${hash}
     FROM raw.layout_${plan.layoutNo} WHERE ${rows} AND problem IS NULL AND NOT (${takes}) AND NOT (${ignoreSql(plan)})`,
    { profile, selectors },
  )
}

function selectorCells(plans: readonly Plan[]): string {
  const cells = new Set<string>()
  for (const plan of plans) {
    for (const match of whereSql(plan.record.where, plan.header).matchAll(/\bc\d+\b/g)) cells.add(match[0])
  }
  return cells.size === 0 ? "''" : [...cells].join(', ')
}

/** A quarantined row that was sent before is a repeat: its file counts it as a duplicate. */
export async function markRepeats(warehouse: Warehouse): Promise<void> {
  await warehouse.run(`
    UPDATE obs.quarantine SET occ = n.occ FROM (
      SELECT file_no, line, rec, row_number() OVER (PARTITION BY file_no, profile, raw_hash, rec ORDER BY line) AS occ FROM obs.quarantine
    ) n WHERE obs.quarantine.file_no = n.file_no AND obs.quarantine.line = n.line AND obs.quarantine.rec = n.rec
      AND obs.quarantine.occ IS DISTINCT FROM n.occ`)
  await warehouse.run(`
    UPDATE obs.quarantine SET is_repeat = n.is_repeat FROM (
      SELECT file_no, line, rec, file_no > min(file_no) OVER (PARTITION BY profile, raw_hash, rec, occ) AS is_repeat FROM obs.quarantine
    ) n WHERE obs.quarantine.file_no = n.file_no AND obs.quarantine.line = n.line AND obs.quarantine.rec = n.rec
      AND obs.quarantine.is_repeat IS DISTINCT FROM n.is_repeat`)
}
