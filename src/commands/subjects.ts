import { nearest } from '../catalogue/index.ts'
import type { Warehouse } from '../warehouse/index.ts'
import { UsageError } from './effects.ts'

/** Where each name that can be asked for stands, as SQL that gives it back. */
const subjects: Readonly<Record<string, string>> = {
  season: `SELECT season AS name FROM answers."drop" UNION SELECT year(operating_day)::VARCHAR FROM answers."drop"
    UNION SELECT season FROM answers.load UNION SELECT season FROM answers.flight`,
  aircraft: 'SELECT aircraft AS name FROM account.aircraft',
  tank: 'SELECT tank AS name FROM account.tank',
  base: `SELECT base AS name FROM account.base UNION SELECT base FROM answers."drop" UNION SELECT base FROM answers.load
    UNION SELECT 'unknown'`,
  fire: `SELECT number AS name FROM account.fire UNION SELECT fire FROM answers."drop" UNION SELECT 'unattributed'`,
  invoice: "SELECT DISTINCT invoice AS name FROM obs.invoice_line WHERE fate = 'accepted'",
  contract: "SELECT DISTINCT number AS name FROM obs.contract WHERE fate = 'accepted'",
}

/** A report about a name that is not on record would be a page of blanks. @throws UsageError with the nearest name. */
export async function checkSubjects(
  warehouse: Warehouse,
  params: Readonly<Record<string, unknown>>,
): Promise<void> {
  const [first] = await unknownSubjects(warehouse, params)
  if (first) throw new UsageError(first)
}

/** What of the names asked for is not on record, each in one sentence with the nearest that is. */
export async function unknownSubjects(
  warehouse: Warehouse,
  params: Readonly<Record<string, unknown>>,
): Promise<string[]> {
  const unknown: string[] = []
  for (const [param, sql] of Object.entries(subjects)) {
    const wanted = params[param]
    if (typeof wanted !== 'string' || wanted === '') continue
    const rows = await warehouse.rows<{ name: string }>(
      `SELECT name FROM (${sql}) WHERE name IS NOT NULL ORDER BY name`,
    )
    const names = rows.map((row) => row.name)
    if (!names.includes(wanted))
      unknown.push(`there is no ${param} ${wanted} on record; ${hintOf(wanted, names)}`)
  }
  return unknown
}

function hintOf(wanted: string, names: readonly string[]): string {
  const near = nearest(wanted, names)
  if (near) return `did you mean ${near}?`
  if (names.length === 0) return 'there is none yet'
  return `there is ${names.slice(0, 12).join(', ')}${names.length > 12 ? ' and more' : ''}`
}
