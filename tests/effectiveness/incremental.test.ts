import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { account } from '../../src/account/index.ts'
import { takeIn } from '../../src/commands/ingest.ts'
import { openWarehouse } from '../../src/commands/session.ts'
import { assess } from '../../src/effectiveness/index.ts'
import { packageRoot, type Warehouse } from '../../src/warehouse/index.ts'

const tables = ['control_point', 'drift_alarm', 'adjustment', 'trace', 'trace_drop', 'mark', 'finding']
const folder = mkdtempSync(join(tmpdir(), 'gallonage-assess-'))
let w: Warehouse

beforeAll(async () => {
  w = await openWarehouse(folder, { err: () => undefined })
  await takeIn(w, [join(packageRoot, 'sample-logs', 'season-2026')], [], { now: () => new Date() })
}, 120_000)
afterAll(async () => {
  await w.close()
  rmSync(folder, { recursive: true, force: true })
})

async function picture(): Promise<Record<string, string[]>> {
  const out: Record<string, string[]> = {}
  for (const table of tables) {
    const rows = await w.rows(`SELECT t::VARCHAR AS text FROM effectiveness."${table}" t ORDER BY 1`)
    out[table] = rows.map((row) => String(row.text))
  }
  return out
}

/** What stands now is what a computation of everything leaves; the tables that the change moved. */
async function standsAsMadeAnew(before: Record<string, string[]>): Promise<string[]> {
  const part = await picture()
  await w.run('DELETE FROM effectiveness.mark')
  await assess(w)
  const whole = await picture()
  for (const table of tables) expect(part[table], table).toEqual(whole[table])
  return tables.filter((table) => JSON.stringify(before[table]) !== JSON.stringify(part[table]))
}

/** Drops of the second half of the season that have a trace: of one aircraft, and of all. */
const traced = `"drop" IN (SELECT "drop" FROM effectiveness.trace_drop)`
const late = `dropped_at >= TIMESTAMP '2026-08-01'`

const changes: [string, string, string[]][] = [
  [
    'settings, volumes and heights of a late week',
    `UPDATE ledger."drop" SET commanded_gal = commanded_gal * 1.2, height_ft = 40 WHERE aircraft = $aircraft AND ${late}`,
    ['control_point', 'mark'],
  ],
  [
    'records that no trace has any more, and one number twice',
    `UPDATE ledger."drop" SET record = record || '9' WHERE aircraft = $aircraft AND ${late} AND ${traced} AND hash("drop") % 2 = 0;
     UPDATE ledger."drop" SET record = (SELECT min(record) FROM effectiveness.trace WHERE aircraft = $aircraft)
     WHERE aircraft = $aircraft AND dropped_at = (SELECT max(dropped_at) FROM ledger."drop" WHERE aircraft = $aircraft)`,
    ['trace_drop', 'finding'],
  ],
  [
    'drops withdrawn, with what was said of them',
    `DELETE FROM ledger."drop" WHERE aircraft = $aircraft AND ${late} AND hash("drop") % 3 = 0`,
    ['finding'],
  ],
  [
    'drops let go in an emergency',
    `UPDATE ledger."drop" SET purpose = 'emergency', is_emergency_release = true WHERE aircraft = $aircraft AND ${late} AND hash("drop") % 2 = 0`,
    ['control_point', 'mark'],
  ],
  [
    'a correction of early days',
    `UPDATE ledger."drop" SET height_ft = 30, volume_gal = volume_gal * 1.1 WHERE aircraft = $aircraft AND dropped_at < TIMESTAMP '2026-06-20'`,
    ['finding'],
  ],
]

test.each(changes)(
  '%s: an update of that aircraft leaves what a computation of everything does',
  async (_, change, moved) => {
    const aircraft = await w.rows<{ aircraft: string }>(
      `SELECT aircraft FROM effectiveness.trace JOIN effectiveness.trace_drop USING (trace) GROUP BY aircraft ORDER BY count(*) DESC, aircraft LIMIT 2`,
    )
    for (const one of aircraft) {
      const before = await picture()
      await w.run(change.replaceAll('$aircraft', `'${one.aircraft}'`))
      const made = await account(w, { aircraft: [one.aircraft] })
      if (made === null || made === 'all') throw new Error(`nothing narrower than ${made} was made again`)
      await assess(w, made)
      expect(await standsAsMadeAnew(before)).toEqual(expect.arrayContaining(moved))
    }
  },
  120_000,
)

test('assessments that came or went are held against the drops of their aircraft alone', async () => {
  const [said] = await w.rows<{ aircraft: string; at: string; obs_no: number }>(
    `SELECT aircraft, assessed_at::VARCHAR AS at, obs_no FROM obs.assessment WHERE fate = 'accepted' ORDER BY assessed_at LIMIT 1 OFFSET 20`,
  )
  const scope = { aircraft: [said!.aircraft], tanks: [], since: said!.at }
  const before = await picture()
  await w.run(
    `UPDATE obs.assessment SET record = NULL, assessed_at = assessed_at + INTERVAL 9 HOUR WHERE obs_no = ${said!.obs_no}`,
  )
  await assess(w, scope)
  expect(await standsAsMadeAnew(before)).toEqual(['finding'])
  await w.run(`UPDATE obs.assessment SET fate = 'superseded' WHERE obs_no = ${said!.obs_no}`)
  await assess(w, scope)
  await standsAsMadeAnew(before)
}, 60_000)
