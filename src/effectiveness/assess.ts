import type { Warehouse } from '../warehouse/index.ts'
import { chartDrift } from './drift.ts'
import { readTraces } from './traces.ts'

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
 * Writes `effectiveness` from the account and the observations: the figures of release traces, the control charts of tanks, and findings
 * about both, about heights and assessments. Traces are read again when their samples change, a tank's chart when one of its settings or
 * adjustments does; the result equals a computation of everything. A finding's id follows from its kind and subject alone.
 */
export async function assess(warehouse: Warehouse): Promise<void> {
  await warehouse.transaction(async () => {
    await readTraces(warehouse)
    await chartDrift(warehouse)
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
