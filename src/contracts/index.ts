import type { Warehouse } from '../warehouse/index.ts'
import { writeFindings } from './findings.ts'
import { askAll, askPart, type Changed, keepUnbilled } from './scope.ts'
import { shareEvidence } from './share.ts'

export { schemaSql } from './schema.ts'
export type { Changed } from './scope.ts'

/**
 * Holds every invoice line against the account and writes `contracts.line`, `contracts.unbilled` and `contracts.finding`.
 * Where nothing but the account of some aircraft changed, only the lines and days that it bears on are held against it again;
 * the result equals a computation of everything. When papers changed, everything must be asked for.
 */
export async function reconcile(warehouse: Warehouse, changed: Changed = 'all'): Promise<void> {
  await warehouse.onOneThread(() => warehouse.transaction(() => hold(warehouse, changed)))
}

async function hold(warehouse: Warehouse, changed: Changed): Promise<void> {
  await askAll(warehouse)
  const papers = await warehouse.value<boolean>(
    `SELECT EXISTS (SELECT 1 FROM obs.contract) OR EXISTS (SELECT 1 FROM obs.invoice_line) OR EXISTS (SELECT 1 FROM contracts.line)`,
  )
  if (!papers) return tellAll(warehouse, false)
  await run(warehouse, 'terms')
  if (changed === 'all') await run(warehouse, 'lines')
  else await askPart(warehouse, changed)
  for (const stage of ['units', 'prices', 'claims']) await run(warehouse, stage)
  await share(warehouse)
  for (const stage of ['amounts', 'verdicts']) await run(warehouse, stage)
  if (changed !== 'all') await keepUnbilled(warehouse, 'before')
  await run(warehouse, 'write')
  if (changed === 'all') return tellAll(warehouse, true)
  await keepUnbilled(warehouse, 'after')
  await run(warehouse, 'scope-findings')
  await writeFindings(warehouse, true)
}

async function tellAll(warehouse: Warehouse, hasPapers: boolean): Promise<void> {
  await warehouse.run('DELETE FROM contracts.finding')
  await writeFindings(warehouse, hasPapers)
}

async function run(warehouse: Warehouse, stage: string): Promise<void> {
  await warehouse.run(await warehouse.readStage(`contracts/${stage}`))
}

/** Shares each group's evidence among its lines, in whole millionths, into `slice`. */
async function share(warehouse: Warehouse): Promise<void> {
  const claims = await warehouse.columns(`
    SELECT c.bill_no, c.group_no, contracts.in_millionths(c.quantity) AS billed, contracts.in_millionths(p.quantity) AS pool,
      CASE WHEN c.is_gallons THEN floor(contracts.times(p.quantity, c.tolerance_pct) * 10000)::BIGINT ELSE 0 END AS allowed
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
    SELECT bill_no, contracts.of_millionths(at_from) AS at_from, contracts.of_millionths(evidence) AS evidence, is_duplicate, is_within FROM shared`)
}
