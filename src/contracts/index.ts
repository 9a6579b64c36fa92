import type { Warehouse } from '../warehouse/index.ts'
import { writeFindings } from './findings.ts'
import { shareEvidence } from './share.ts'

export { schemaSql } from './schema.ts'

/** What of the account was made again: everything, or that of these aircraft from a moment (UTC, as ISO text) on. */
export type Changed = 'all' | { readonly aircraft: readonly string[]; readonly from: string }

/**
 * Holds every invoice line against the account and writes `contracts.line`, `contracts.unbilled` and `contracts.finding`.
 * Where nothing but the account of some aircraft changed, the lines of contracts that it bears on, or that share an aircraft
 * with those, are held against it again, whole: a line can bear on any other through a ticket, a tier or a credit note.
 */
export async function reconcile(warehouse: Warehouse, changed: Changed = 'all'): Promise<void> {
  await warehouse.onOneThread(() => warehouse.transaction(() => hold(warehouse, changed)))
}

async function hold(warehouse: Warehouse, changed: Changed): Promise<void> {
  const papers = await warehouse.value<boolean>(
    `SELECT EXISTS (SELECT 1 FROM obs.contract) OR EXISTS (SELECT 1 FROM obs.invoice_line) OR EXISTS (SELECT 1 FROM contracts.line)`,
  )
  if (papers) {
    await run(warehouse, 'terms')
    await choose(warehouse, changed)
    for (const stage of ['units', 'lines', 'prices', 'claims']) await run(warehouse, stage)
    await share(warehouse)
    for (const stage of ['amounts', 'verdicts', 'write']) await run(warehouse, stage)
  }
  await writeFindings(warehouse)
}

/** Leaves the terms of the contracts that are to be looked at; `is_asked_contract` tells which those are. */
async function choose(warehouse: Warehouse, changed: Changed): Promise<void> {
  const asked = changed === 'all' ? 'true' : 'number IN (SELECT contract FROM scope_contract)'
  if (changed !== 'all') {
    const text = await warehouse.readStage('contracts/scope')
    await warehouse.run(text, { list: changed.aircraft.join('\n'), from: changed.from })
    await warehouse.run(
      `DELETE FROM deal WHERE contract NOT IN (FROM scope_contract);
       DELETE FROM deal_aircraft WHERE contract NOT IN (FROM scope_contract);
       DELETE FROM price WHERE contract NOT IN (FROM scope_contract);
       DELETE FROM priced_item WHERE contract NOT IN (FROM scope_contract)`,
    )
  }
  await warehouse.run(`CREATE OR REPLACE TEMP MACRO is_asked_contract(number) AS ${asked}`)
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
    SELECT bill_no, contracts.of_millionths(at_from) AS at_from, contracts.of_millionths(evidence) AS evidence, is_duplicate, is_within FROM shared`)
}
