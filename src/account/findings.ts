import { oneOf } from '../values/sql/write.ts'
import type { Warehouse } from '../warehouse/index.ts'

/** Findings of events: made again for what is in scope, from the cut on and until the end. */
const ofEvents = [
  'no-mounting',
  'fire-far-from-drop',
  'fire-not-active',
  'unrecorded-release',
  'unrecorded-load',
  'volume-above-capacity',
  'fractions-above-one',
  'drop-on-ground',
  'position-trouble',
  'coverage-out-of-range',
  'outside-daylight',
  'ticket-without-flight',
  'flight-without-drop',
  'overfill',
  'aircraft-in-two-places',
  'too-fast',
  'home-zone-unknown',
] as const

/** Findings about names, bases, the registry and last loads: few, and always all made again. */
const ofAll = [
  'unknown-base',
  'unknown-fire',
  'meter-bias',
  'mounting-overlap',
  'fitting-overlap',
  'fitting-gap',
  'last-ticket-without-flight',
] as const

const columns = 'finding, severity, subject, happened_at, message, evidence, aircraft, tank'

/** Written fire names that nobody knows, with their season, as the subjects of findings: all, or those that may stand otherwise than before. */
export type LostTexts = 'all' | ReadonlySet<string>

/**
 * Writes `account.finding` for the scope; a finding's id follows from its kind and subject alone. Of written fires that
 * nobody knows those in `lost` are told again, with all their drops of the season.
 */
export async function writeFindings(
  warehouse: Warehouse,
  hasEvents: boolean,
  lost: LostTexts,
): Promise<void> {
  await warehouse.run(
    `CREATE OR REPLACE TEMP MACRO is_told_text(subject) AS ${lost === 'all' ? 'true' : oneOf('subject', [...lost].sort())}`,
  )
  await tellLost(warehouse)
  // Each by itself: of either the reader of the table passes over nearly all rows by one column, of both together over none.
  await warehouse.run(
    `DELETE FROM account.finding WHERE aircraft IS NULL AND tank IS NULL AND (finding <> 'unknown-fire' OR is_told_text(subject));
     DELETE FROM account.finding WHERE finding = 'ticket-without-flight' AND message LIKE '%followed on record'`,
  )
  if (hasEvents)
    await warehouse.run(
      `DELETE FROM account.finding WHERE (is_near_aircraft(aircraft) OR is_near_tank(tank)) AND CASE
         WHEN finding IN ('unrecorded-release', 'unrecorded-load') THEN is_near_tank(tank)
         WHEN is_touched(aircraft) OR is_near_tank(tank)
         THEN CASE finding WHEN 'home-zone-unknown' THEN true
           WHEN 'too-fast' THEN happened_at >= cut_midnight() AND happened_at < end_midnight()
           ELSE happened_at >= cut_at() AND happened_at < end_at() END ELSE false END`,
    )
  const isAbsent = await occasions(warehouse, hasEvents)
  for (const name of hasEvents ? [...ofEvents, ...ofAll] : ofAll) {
    if (isAbsent(name) || (name === 'unknown-fire' && lost !== 'all' && lost.size === 0)) continue
    const select = (await warehouse.readStage(`account/findings/${name}`)).replace(/;\s*$/, '')
    await warehouse.run(
      `INSERT INTO account.finding BY NAME SELECT md5(finding || '|' || subject) AS finding_id, ${columns} FROM (${select})`,
    )
  }
}

/** Looks what there is cause for. @returns whether nothing at all can be found of a kind: asking for it in vain costs more than to look. */
async function occasions(warehouse: Warehouse, hasEvents: boolean): Promise<(name: string) => boolean> {
  await warehouse.run(await warehouse.readStage('account/idle-aircraft'))
  const rows = await warehouse.rows<Record<string, boolean>>(await warehouse.readStage('account/occasions'))
  if (hasEvents)
    rows.push(
      ...(await warehouse.rows<Record<string, boolean>>(
        await warehouse.readStage('account/occasions-of-events'),
      )),
    )
  return (name) => rows.some((row) => row[name] === false)
}

/** Says between which operating days fires are written down that nobody knows. */
async function tellLost(warehouse: Warehouse): Promise<void> {
  const [lost] = await warehouse.rows<{ low: string | null; high: string | null }>(
    `SELECT min(operating_day)::VARCHAR AS low, max(operating_day)::VARCHAR AS high FROM account.lost_text
     WHERE is_told_text('fire ' || text || ' ' || season)`,
  )
  await warehouse.run(`
    CREATE OR REPLACE TEMP MACRO lost_from() AS DATE '${lost?.low ?? 'infinity'}';
    CREATE OR REPLACE TEMP MACRO lost_to() AS DATE '${lost?.high ?? '-infinity'}'`)
}
