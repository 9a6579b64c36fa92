import type { Warehouse } from '../warehouse/index.ts'

/** Findings of single events: made again for what is in scope. */
const ofEvents: readonly string[] = []

/** Findings about the registry, names and bases: few, and always all made again. */
const ofRegistry: readonly string[] = []

const columns = 'finding, severity, subject, happened_at, message, evidence, aircraft, tank'

/** Writes `account.finding` for the scope; a finding's id follows from its kind and subject alone. */
export async function writeFindings(warehouse: Warehouse): Promise<void> {
  for (const name of [...ofEvents, ...ofRegistry]) {
    const select = (await warehouse.readStage(`account/findings/${name}`)).replace(/;\s*$/, '')
    await warehouse.run(
      `INSERT INTO account.finding BY NAME SELECT md5(finding || '|' || subject) AS finding_id, ${columns} FROM (${select})`,
    )
  }
}
