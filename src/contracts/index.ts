import type { Warehouse } from '../warehouse/index.ts'
import { writeFindings } from './findings.ts'
import { shareEvidence } from './share.ts'

export { schemaSql } from './schema.ts'

/**
 * Holds every invoice line against the account and writes `contracts.line`, `contracts.unbilled` and `contracts.finding`.
 * Everything is made again each time: a line can bear on any other through a ticket, a tier or a credit note.
 */
export async function reconcile(warehouse: Warehouse): Promise<void> {
  await warehouse.transaction(async () => {
    const papers = await warehouse.value<boolean>(
      `SELECT EXISTS (SELECT 1 FROM obs.contract) OR EXISTS (SELECT 1 FROM obs.invoice_line) OR EXISTS (SELECT 1 FROM contracts.line)`,
    )
    if (papers) {
      for (const stage of ['terms', 'units', 'lines', 'prices', 'claims']) await run(warehouse, stage)
      await share(warehouse)
      for (const stage of ['amounts', 'verdicts', 'write']) await run(warehouse, stage)
    }
    await writeFindings(warehouse)
  })
}

async function run(warehouse: Warehouse, stage: string): Promise<void> {
  await warehouse.run(await warehouse.readStage(`contracts/${stage}`))
}

/** Shares each group's evidence among its lines, in whole millionths, into `slice`. */
async function share(warehouse: Warehouse): Promise<void> {
  const claims = await warehouse.columns(`
    SELECT c.bill_no, c.group_no, (c.quantity * 1000000)::BIGINT AS billed, (p.quantity * 1000000)::BIGINT AS pool,
      CASE WHEN c.is_gallons THEN floor(p.quantity * c.tolerance_pct * 10000)::BIGINT ELSE 0 END AS allowed
    FROM claimant c JOIN pool p ON p.group_no = c.group_no WHERE p.owned > 0 ORDER BY c.group_no, c.bill_no`)
  const shares = shareEvidence({
    group: claims.numbers('group_no'),
    billed: claims.numbers('billed'),
    pool: claims.numbers('pool'),
    allowed: claims.numbers('allowed'),
  })
  await warehouse.run(
    'CREATE OR REPLACE TEMP TABLE shared(bill_no BIGINT, at_from BIGINT, evidence BIGINT, is_duplicate BOOLEAN, is_within BOOLEAN)',
  )
  await warehouse.append('shared', {
    bill_no: claims.numbers('bill_no'),
    at_from: shares.from,
    evidence: shares.evidence,
    is_duplicate: shares.isDuplicate,
    is_within: shares.isWithin,
  })
  await warehouse.run(`CREATE OR REPLACE TEMP TABLE slice AS
    SELECT bill_no, at_from::DECIMAL(38,6) / 1000000::BIGINT AS at_from, evidence::DECIMAL(38,6) / 1000000::BIGINT AS evidence, is_duplicate, is_within FROM shared`)
}
