import type { Warehouse } from '../warehouse/index.ts'

/** Findings of events: made again for what is in scope, from the cut on. */
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

/** Writes `account.finding` for the scope; a finding's id follows from its kind and subject alone. */
export async function writeFindings(warehouse: Warehouse, hasEvents: boolean): Promise<void> {
  await warehouse.run(
    `DELETE FROM account.finding WHERE aircraft IS NULL AND tank IS NULL
     OR finding = 'ticket-without-flight' AND message LIKE '%followed on record'`,
  )
  if (hasEvents)
    await warehouse.run(
      `DELETE FROM account.finding WHERE CASE WHEN finding IN ('unrecorded-release', 'unrecorded-load') THEN tank IN (FROM scope_tank)
         WHEN aircraft IN (FROM scope_touched) OR tank IN (FROM scope_tank)
         THEN happened_at >= (SELECT CASE finding WHEN 'home-zone-unknown' THEN TIMESTAMP '-infinity'
           WHEN 'too-fast' THEN date_trunc('day', cut_at) ELSE cut_at END FROM scope_cut) ELSE false END`,
    )
  for (const name of hasEvents ? [...ofEvents, ...ofAll] : ofAll) {
    const select = (await warehouse.readStage(`account/findings/${name}`)).replace(/;\s*$/, '')
    await warehouse.run(
      `INSERT INTO account.finding BY NAME SELECT md5(finding || '|' || subject) AS finding_id, ${columns} FROM (${select})`,
    )
  }
}
