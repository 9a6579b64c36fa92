import type { Warehouse } from '../warehouse/index.ts'
import { chartDrift } from './drift.ts'
import { writeFindings } from './findings.ts'
import { type Assessed, tellScope, tellTanks } from './scope.ts'
import { matchAgain, readTraces } from './traces.ts'

/**
 * Writes `effectiveness` from the account and the observations: the figures of release traces, the control charts of tanks, and findings
 * about both, about heights and assessments. Traces are read again when their samples change, a tank's chart when one of its settings or
 * adjustments does; of some aircraft and tanks alone where only they changed. The result equals a computation of everything.
 */
export async function assess(warehouse: Warehouse, scope: Assessed = 'all'): Promise<void> {
  await warehouse.transaction(async () => {
    await tellScope(warehouse, scope)
    if (scope === 'all') {
      await readTraces(warehouse)
      await chartDrift(warehouse)
      await writeFindings(warehouse, { isAll: true, hasTraces: true })
      return
    }
    const hasTraces =
      (await warehouse.value(
        'SELECT 1 FROM effectiveness.trace WHERE is_told_aircraft(aircraft) LIMIT 1',
      )) !== null
    if (hasTraces) await tellTanks(warehouse, [...scope.tanks, ...(await matchAgain(warehouse))])
    await chartDrift(warehouse)
    await writeFindings(warehouse, { isAll: false, hasTraces })
  })
}
