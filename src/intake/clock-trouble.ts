import { tableName } from '../kinds/index.ts'
import { zoneTransitions } from '../values/index.ts'
import { sqlValue } from '../values/sql.ts'
import type { Warehouse } from '../warehouse/index.ts'
import type { FileList } from './file-list.ts'
import { type ColumnText, needsBaseZone, type Plan, zoneSql } from './plan.ts'

const dayMs = 86_400_000

/**
 * Flags rows whose local time was skipped or occurred twice when the clocks changed. Only rows near a change of the
 * clock are looked at.
 * @param rows SQL condition on file_no and line for the rows of these files that were typed.
 */
export async function flagClockTrouble(
  warehouse: Warehouse,
  plan: Plan,
  files: FileList,
  rows: string,
): Promise<void> {
  for (const one of plan.columns) {
    if (one.column.type === 'time' && one.text) await flagColumn(warehouse, plan, one, files, rows)
  }
}

async function flagColumn(
  warehouse: Warehouse,
  plan: Plan,
  one: ColumnText,
  files: FileList,
  rows: string,
): Promise<void> {
  const zone = zoneSql(plan, one.field)
  const names = zone === null ? [] : 'name' in zone ? [zone.name] : zone.zones
  if (zone === null || names.every((name) => name === 'UTC')) return
  const table = `obs.${tableName(plan.kind.name)}`
  const time = `"${one.column.name}"`
  const own = `o.fate <> 'quarantined' AND o.profile = '${plan.profile.name.replaceAll("'", "''")}' AND o.rec = ${plan.rec}`
  const [span] = await warehouse.rows<{ first_ms: number | null; last_ms: number | null }>(
    `SELECT epoch_ms(min(${time}))::DOUBLE AS first_ms, epoch_ms(max(${time}))::DOUBLE AS last_ms FROM ${table} o WHERE ${files.own} AND ${own}`,
  )
  if (!span || span.first_ms === null || span.last_ms === null) return
  const near = names.flatMap((name) => windows(name, span.first_ms!, span.last_ms!))
  if (near.length === 0) return
  const close = near
    .map(([from, to]) => `o.${time} BETWEEN TIMESTAMP '${sqlTime(from)}' AND TIMESTAMP '${sqlTime(to)}'`)
    .join(' OR ')
  const named = 'name' in zone ? zone : { ...zone, expr: 'row_zone' }
  const base = plan.columns.find((column) => column.column.name === 'base')?.text ?? 'NULL'
  const join = needsBaseZone(plan)
    ? `LEFT JOIN temp.intake_base zone_map ON zone_map.text = val.tidy(${base})`
    : ''
  // In a CASE, so that the words of a row are compared only where its time is close.
  await warehouse.run(
    `CREATE OR REPLACE TEMP TABLE intake_near AS SELECT obs_no, file_no, line_no FROM ${table} o WHERE ${files.own} AND CASE WHEN ${close} THEN ${own} ELSE false END`,
  )
  if (Number(await warehouse.value('SELECT count(*) FROM temp.intake_near')) === 0) return
  await warehouse.run(`
    UPDATE ${table} SET flags = list_append(coalesce(flags, []), x.trouble) FROM (
      SELECT obs_no, ${sqlValue.timeTrouble('written', { formats: one.field?.formats, zone: named })} AS trouble
      FROM (SELECT o.obs_no, ${one.text} AS written${join ? ', zone_map.zone AS row_zone' : ''}
        FROM temp.intake_near o JOIN (SELECT * FROM raw.layout_${plan.layoutNo} WHERE ${rows}) r ON r.file_no = o.file_no AND r.line = o.line_no ${join})
    ) x WHERE ${table}.obs_no = x.obs_no AND x.trouble IS NOT NULL AND NOT coalesce(list_contains(flags, x.trouble), false)`)
}

/** Spans of UTC time around the changes of a zone's clock, two hours either way. */
function windows(zone: string, firstMs: number, lastMs: number): [number, number][] {
  return zoneTransitions(zone)
    .filter((change) => change.at >= firstMs - dayMs && change.at <= lastMs + dayMs)
    .map((change) => [change.at - 2 * 3_600_000, change.at + 2 * 3_600_000])
}

function sqlTime(ms: number): string {
  return new Date(ms).toISOString().slice(0, 19).replace('T', ' ')
}
