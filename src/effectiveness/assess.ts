import type { Warehouse } from '../warehouse/index.ts'
import { prepareDrift } from './drift.ts'

const findings = [
  'drift-alarm',
  'trace-without-drop',
  'trace-volume',
  'door-partly',
  'door-late',
  'slow-emergency',
  'below-safe-height',
  'assessment-without-drop',
] as const

/**
 * Writes `effectiveness.finding` from the account and the observations: drift, traces, heights, assessments. A finding's id follows from
 * its kind and subject alone. All are made anew, since a drift alarm rests on the tank's whole run.
 */
export async function assess(warehouse: Warehouse): Promise<void> {
  await warehouse.transaction(async () => {
    await prepareDrift(warehouse)
    await warehouse.run('DELETE FROM effectiveness.finding')
    for (const name of findings) {
      const select = await warehouse.readStage(`effectiveness/findings/${name}`)
      await warehouse.run(
        `INSERT INTO effectiveness.finding BY NAME SELECT md5(finding || '|' || subject) AS finding_id, finding, severity, subject,
           happened_at, message, evidence, aircraft, tank FROM (${select})`,
      )
    }
  })
}
