import { kindOf, sqlTypes } from '../kinds/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { timeField } from './fields.ts'
import { eventKinds } from './observations.ts'
import { nearSql, type Reach } from './reach.ts'
import type { SetField } from './set-fields.ts'

/** Columns of observations that say nothing of what happened: not copied. */
const untold = [
  'file_no',
  'line_no',
  'rec',
  'profile',
  'aircraft_text',
  'occ',
  'key_hash',
  'is_keyed',
  'fate',
  'replaced_by',
]

/**
 * The relations `told_<kind>`: accepted observations with the fields that people `set`. With `reached`, only those within
 * `match_range` (aircraft, load_from, load_to), copied.
 */
export async function prepareTold(
  warehouse: Warehouse,
  set: readonly SetField[],
  reached: ReadonlyMap<string, readonly Reach[]> | null,
): Promise<void> {
  for (const kind of eventKinds) {
    const plain = `SELECT * FROM obs.${kind} WHERE fate = 'accepted'`
    const own = set.filter((item) => item.kind === kind)
    await warehouse.run(
      `DROP VIEW IF EXISTS told_${kind}; DROP TABLE IF EXISTS match_set_${kind}; DROP TABLE IF EXISTS match_near_${kind}`,
    )
    let told = plain
    const at = timeField[kind]
    const near = reached === null ? '' : ` AND ${nearSql(reached, 'load', at)}`
    if (own.length > 0) {
      const numbers = [...new Set(own.map((item) => item.obs_no))].join(', ')
      await warehouse.run(`CREATE TEMP TABLE match_set_${kind} AS ${plain} AND obs_no IN (${numbers})`)
      for (const item of own) await setField(warehouse, kind, item)
      told = `${plain}${near} AND obs_no NOT IN (${numbers}) UNION ALL FROM match_set_${kind}`
    } else told = `${plain}${near}`
    if (reached !== null) {
      await warehouse.run(`CREATE TEMP TABLE match_near_${kind} AS SELECT t.* EXCLUDE (${untold.join(', ')}) FROM (${told}) t
        SEMI JOIN match_range r ON r.aircraft = t.aircraft AND t.${at} >= r.load_from AND t.${at} <= r.load_to`)
      told = `FROM match_near_${kind}`
    }
    await warehouse.run(`CREATE TEMP VIEW told_${kind} AS ${told}`)
  }
}

/** A field that is no column of the kind, or a value that is none of its type, is refused where the amendment is made; here it is left out. */
async function setField(
  warehouse: Warehouse,
  kind: (typeof eventKinds)[number],
  item: SetField,
): Promise<void> {
  const column = kindOf(kind).columns.find((candidate) => candidate.name === item.field)
  if (!column) return
  const type = sqlTypes[column.type]
  const value = type === 'VARCHAR[]' ? `string_split($value, ';')` : `TRY_CAST($value AS ${type})`
  await warehouse.run(
    `UPDATE match_set_${kind} SET ${column.name} = ${value} WHERE obs_no = ${item.obs_no}`,
    { value: item.value === '' ? null : item.value },
  )
}
