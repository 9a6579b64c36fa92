import type { Warehouse } from '../warehouse/index.ts'

const kinds = ['invoice-line', 'never-billed', 'meter-tolerance', 'contract-zone'] as const

/** Those that hang on a contract or an invoice line. */
const ofPapers: readonly string[] = ['invoice-line', 'contract-zone']

/** Adds to `contracts.finding` what is asked for; a finding's id follows from its kind and subject alone. */
export async function writeFindings(warehouse: Warehouse, hasPapers: boolean): Promise<void> {
  for (const kind of kinds) {
    if (!hasPapers && ofPapers.includes(kind)) continue
    const select = (await warehouse.readStage(`contracts/findings/${kind}`)).replace(/;\s*$/, '')
    await warehouse.run(
      `INSERT INTO contracts.finding BY NAME
       SELECT md5(finding || '|' || subject) AS finding_id, finding, severity, subject, happened_at, message, evidence, aircraft, NULL AS tank FROM (${select})`,
    )
  }
}
