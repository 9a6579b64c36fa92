import type { Warehouse } from '../../src/warehouse/index.ts'

/** Seasons that the copies are laid over; fleets share ten sets of bases. */
const seasons = 10
const baseSets = 10

const ofCopy = new Set(
  [
    'drop',
    'load',
    'flight',
    'offload',
    'previous_load',
    'from_drop',
    'alarm_drop',
    'change_drop',
    'change_low_drop',
  ].concat(['change_high_drop', 'segment', 'subject', 'finding_id']),
)
const ofFleet = new Set([
  'aircraft',
  'tank',
  'component',
  'registration',
  'serial',
  'fire',
  'number',
  'fire_text',
  'record',
])
const ofBaseSet = new Set(['base', 'from_base', 'to_base', 'base_text', 'code'])

const copied = [
  ...['drop', 'load', 'flight', 'offload'].map((name) => `ledger."${name}"`),
  ...['drop', 'load', 'flight', 'offload', 'cycle', 'fire', 'mounting', 'fitting', 'finding'].map(
    (name) => `account."${name}"`,
  ),
  ...['trace', 'trace_drop', 'control_point', 'drift_alarm', 'adjustment', 'finding'].map(
    (name) => `effectiveness."${name}"`,
  ),
  ...['trace', 'assessment', 'adjustment', 'fire', 'aircraft', 'tank', 'base'].map((name) => `obs."${name}"`),
]
/** One row per fleet, whatever the season. */
const perFleet = new Set(['obs."aircraft"', 'obs."tank"', 'account."mounting"', 'account."fitting"'])
const perBaseSet = new Set(['obs."base"'])

/**
 * Lays `copies` of the season that a warehouse holds beside one another: other fleets, in ten seasons, with fires, loads,
 * flights and traces of their own. Only what questions read is copied; the files and the lines behind it are not.
 */
export async function manyCopies(warehouse: Warehouse, copies: number): Promise<void> {
  for (const table of copied) {
    const columns = await warehouse.rows<{ name: string; type: string }>(
      `SELECT column_name AS name, column_type AS type FROM (DESCRIBE ${table})`,
    )
    const some = perFleet.has(table)
      ? `k % ${seasons} = 0`
      : perBaseSet.has(table)
        ? `k % ${seasons} = 0 AND k < ${seasons * baseSets}`
        : 'true'
    const shown = columns.map(({ name, type }) => `${copyOf(name, type)} AS "${name}"`).join(', ')
    await warehouse.run(
      `CREATE OR REPLACE TEMP TABLE one AS FROM ${table};
       DELETE FROM ${table};
       INSERT INTO ${table} SELECT ${shown} FROM (SELECT one.*, k FROM range(${copies}) r(k), one WHERE ${some})`,
    )
  }
  await warehouse.run('DROP TABLE one; CHECKPOINT')
}

function copyOf(name: string, type: string): string {
  const value = `"${name}"`
  if (type === 'VARCHAR' && ofCopy.has(name)) return `${value} || '~' || k`
  if (type === 'VARCHAR' && ofFleet.has(name)) return `${value} || '-' || (k // ${seasons})`
  if (type === 'VARCHAR' && ofBaseSet.has(name)) return `${value} || '-' || (k // ${seasons} % ${baseSets})`
  if (type === 'VARCHAR' && (name === 'season' || name === 'fire_season'))
    return `(try_cast(${value} AS INTEGER) - k % ${seasons})::VARCHAR`
  if (type === 'TIMESTAMP' || type === 'DATE')
    return `(${value} - to_years((k % ${seasons})::INTEGER))::${type}`
  if (type === 'BIGINT' && ['obs_no', 'trace', 'last_obs_no'].includes(name))
    return `${value} + k * 2::BIGINT ** 40`
  return value
}
