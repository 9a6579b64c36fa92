import type { Warehouse } from '../warehouse/index.ts'

/** Findings of events: made again for what is in scope. */
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

/** Findings about names, bases and the registry: few, and always all made again. They name no aircraft and no tank. */
const ofRegistry = [
  'unknown-base',
  'unknown-fire',
  'meter-bias',
  'mounting-overlap',
  'fitting-overlap',
  'fitting-gap',
] as const

const columns = 'finding, severity, subject, happened_at, message, evidence, aircraft, tank'

/** Writes `account.finding` for the scope; a finding's id follows from its kind and subject alone. */
export async function writeFindings(warehouse: Warehouse): Promise<void> {
  await warehouse.run(
    `DELETE FROM account.finding WHERE aircraft IN (FROM scope_touched) OR tank IN (SELECT tank FROM scope_tank)
     OR aircraft IS NULL AND tank IS NULL`,
  )
  for (const name of [...ofEvents, ...ofRegistry]) {
    const select = (await warehouse.readStage(`account/findings/${name}`)).replace(/;\s*$/, '')
    await warehouse.run(
      `INSERT INTO account.finding BY NAME SELECT md5(finding || '|' || subject) AS finding_id, ${columns} FROM (${select})`,
    )
  }
}
