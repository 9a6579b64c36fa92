import type { ReferenceTarget } from '../kinds/index.ts'
import { normalizeAircraft } from '../values/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { NameBook, type Named } from './names.ts'

/** Names that must resolve before a row can count; bases resolve where they can. */
export type NameBooks = Record<
  Extract<ReferenceTarget, 'aircraft' | 'tank' | 'component' | 'item' | 'base'>,
  NameBook
>

interface NamedRow {
  target: string
  aliases: string[] | null
  call_number: string | null
}

/** The name books as the registry and the aliases that people gave stand now. */
export async function readNameBooks(warehouse: Warehouse): Promise<NameBooks> {
  const aliases = await warehouse.rows<{ kind: string; target: string; alias: string }>(
    `SELECT payload->>'kind' AS kind, payload->>'target' AS target, payload->>'alias' AS alias
     FROM raw.amendment WHERE action = 'alias' AND undone_by IS NULL ORDER BY amendment_no`,
  )
  const read = async (kind: string, select: string): Promise<Named[]> => {
    const rows = await warehouse.rows<NamedRow>(select)
    return rows.map((row) => ({
      target: row.target,
      callNumber: row.call_number,
      aliases: [
        ...(row.aliases ?? []),
        ...aliases
          .filter((one) => one.kind === kind && isSame(kind, one.target, row.target))
          .map((one) => one.alias),
      ],
    }))
  }
  const accepted = `WHERE fate = 'accepted' ORDER BY 1`
  const aircraft = await read(
    'aircraft',
    `SELECT registration AS target, aliases, call_number FROM obs.aircraft ${accepted}`,
  )
  const tanks = await read(
    'tank',
    `SELECT serial AS target, aliases, NULL AS call_number FROM obs.tank ${accepted}`,
  )
  const components = await read(
    'component',
    `SELECT serial AS target, NULL AS aliases, NULL AS call_number FROM obs.component ${accepted}`,
  )
  const bases = await read(
    'base',
    `SELECT code AS target, list_concat(coalesce(aliases, []), CASE WHEN name IS NULL THEN [] ELSE [name] END) AS aliases, NULL AS call_number FROM obs.base ${accepted}`,
  )
  return {
    aircraft: new NameBook('aircraft', aircraft, true),
    tank: new NameBook('tank', tanks),
    component: new NameBook('component', components),
    item: new NameBook('tank or component', [...tanks, ...components]),
    base: new NameBook('base', bases),
  }
}

/** An aircraft keeps the names that people gave it when a later row spells its registration otherwise. */
const isSame = (kind: string, one: string, other: string): boolean =>
  one === other || (kind === 'aircraft' && normalizeAircraft(one) === normalizeAircraft(other))

/** IANA zone of each base code. */
export async function readBaseZones(warehouse: Warehouse): Promise<Map<string, string>> {
  const rows = await warehouse.rows<{ code: string; zone: string }>(
    "SELECT code, zone FROM obs.base WHERE fate = 'accepted'",
  )
  return new Map(rows.map((row) => [row.code, row.zone]))
}
