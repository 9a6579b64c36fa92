import { afterAll, beforeAll, expect, test } from 'vitest'
import type { Row, Warehouse } from '../../src/warehouse/index.ts'
import { compute, emptyWarehouse } from './fixture.ts'
import { fillLedger } from './many.ts'

const tables = ['"drop"', 'load', 'flight', 'offload', 'cycle', 'fire_text', 'meter_bias', 'finding']
let w: Warehouse

beforeAll(async () => {
  w = await emptyWarehouse()
  await fillLedger(w, { aircraft: 6, days: 30, loadsADay: 4 })
  await w.run(
    "UPDATE ledger.load SET base_text = 'Bse Two' WHERE base_text = 'B2' AND loaded_at::DATE = DATE '2021-06-12'",
  )
}, 120_000)
afterAll(() => w.close())

/** A text of every row of every table, sorted; doubles as their exact shortest form. */
async function picture(): Promise<Record<string, string[]>> {
  const out: Record<string, string[]> = {}
  for (const table of tables) {
    const rows = await w.rows<Row>(`SELECT t::VARCHAR AS text FROM account.${table} t ORDER BY 1`)
    out[table] = rows.map((row) => String(row.text))
  }
  return out
}

test('what a night adds gives the same account as computing everything, to the last bit', async () => {
  await compute(w)
  const before = await picture()
  expect(before['"drop"']!.length).toBeGreaterThan(1000)

  // The same again changes nothing.
  await compute(w, { aircraft: ['N101ZY'] })
  expect(await picture()).toEqual(before)

  // Late loads and drops of one aircraft, a drop withdrawn, and a meter that now reads otherwise.
  await w.run(`
    DELETE FROM ledger."drop" WHERE "drop" = (SELECT min("drop") FROM ledger."drop" WHERE aircraft = 'N103ZY');
    UPDATE ledger."drop" SET volume_gal = 777.7, fire_text = 'creak 3' WHERE aircraft = 'N103ZY' AND dropped_at::DATE = DATE '2022-06-12';
    UPDATE ledger.load SET meter_gal = meter_gal * 1.02, volume_gal = volume_gal * 1.02 WHERE base_text = 'B3';`)
  await compute(w, { aircraft: ['N103ZY'] })
  const night = await picture()
  await compute(w, 'all')
  const whole = await picture()
  for (const table of tables) expect(night[table], table).toEqual(whole[table])
  expect(whole).not.toEqual(before)
}, 240_000)

test('sums over fires and over bases are the totals, and hours are all airborne hours', async () => {
  const [sums] = await w.rows<Record<string, number>>(`
    SELECT (SELECT fsum(flight_hours) FROM account."drop" WHERE purpose = 'fire') AS shared,
      (SELECT fsum(airborne_hours) FROM account.flight WHERE is_mission) AS mission,
      (SELECT count(*) FROM account."drop") AS drops, (SELECT count(*) FROM ledger."drop") AS known,
      (SELECT fsum(dropped_gal) FROM account.cycle) AS walked,
      (SELECT fsum(volume_gal) FROM account."drop" WHERE tank IS NOT NULL) AS dropped`)
  expect(sums!.shared).toBeCloseTo(sums!.mission!, 8)
  expect(sums!.drops).toBe(sums!.known)
  expect(Math.abs(sums!.walked! / sums!.dropped! - 1)).toBeLessThan(1e-12)
})
