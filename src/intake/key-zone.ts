import { kinds, tableName } from '../kinds/index.ts'
import type { Profile, ZoneRule } from '../sources/index.ts'
import { quote } from '../values/sql/write.ts'
import type { SqlZone } from '../values/sql.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { movesDay, movesKey } from './key-sql.ts'

/**
 * IANA zone that names the day of a record number where the file's profile names none: the home zone, else the zone
 * that most bases on record lie in (of as many, the first by name), else UTC. It depends on what stands on record
 * alone, not on what came first; keys follow when it changes (see `takeMovedKeys`).
 */
export async function readKeyZone(warehouse: Warehouse): Promise<string> {
  const zone = await warehouse.value<string>(`
    SELECT coalesce((SELECT value FROM raw.setting WHERE name = 'home_zone'),
      (SELECT zone FROM obs.base WHERE fate = 'accepted' GROUP BY zone ORDER BY count(*) DESC, zone LIMIT 1), 'UTC')`)
  return zone!
}

const namesZone = (rule: ZoneRule | null): rule is { name: string } =>
  rule !== null && 'name' in rule && rule.name !== 'UTC'

/** Zone of the keys of one file: its profile's own, else the one that all others share. */
export function zoneOfKeys(rule: ZoneRule | null, shared: string): SqlZone {
  return { name: namesZone(rule) ? rule.name : shared }
}

/** True when rows stand under days of another zone than they would get now. */
export async function isKeyZoneMoved(warehouse: Warehouse): Promise<boolean> {
  const before = await warehouse.value<string>('SELECT zone FROM obs.key_zone')
  if (before === null) await keepKeyZone(warehouse, await readKeyZone(warehouse))
  return before !== null && before !== (await readKeyZone(warehouse))
}

/**
 * Puts into temp.intake_again the rows whose record number or ticket falls on another day, or into another year, in
 * the zone of keys as it is now, with all that shared a key with them; and keeps that zone.
 */
export async function takeMovedKeys(warehouse: Warehouse, kept: readonly Profile[]): Promise<void> {
  const before = await warehouse.value<string>('SELECT zone FROM obs.key_zone')
  const now = await readKeyZone(warehouse)
  if (before === null || before === now) return
  const own = kept.filter((profile) => namesZone(profile.zone))
  const names = own.map((profile) => quote(profile.name))
  const others = names.length === 0 ? '' : ` AND profile NOT IN (${names.join(', ')})`
  // Whether a row came too late for a closed season depends on its day, key or none.
  const closedAfter = await warehouse.value<number>(
    'SELECT min(after_file) FROM raw.closed_season WHERE until_file IS NULL',
  )
  for (const kind of kinds) {
    const zones = [{ name: before }, { name: now }] as const
    const late = closedAfter === null ? null : movesDay(kind, ...zones)
    const moves = [movesKey(kind, ...zones), late && `file_no > ${closedAfter} AND ${late}`]
      .flatMap((one) => (one === null ? [] : [`(${one})`]))
      .join(' OR ')
    if (moves === '') continue
    const table = `obs.${tableName(kind.name)}`
    await warehouse.run(`
      INSERT INTO temp.intake_again SELECT file_no, line_no FROM ${table}
      WHERE key_hash IN (SELECT key_hash FROM ${table} WHERE fate <> 'quarantined' AND (${moves})${others})`)
  }
  await keepKeyZone(warehouse, now)
}

async function keepKeyZone(warehouse: Warehouse, zone: string): Promise<void> {
  await warehouse.run('DELETE FROM obs.key_zone')
  await warehouse.append('obs.key_zone', { zone: [zone] })
}
