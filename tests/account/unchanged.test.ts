import { afterAll, beforeAll, expect, test } from 'vitest'
import type { Row, Warehouse } from '../../src/warehouse/index.ts'
import { compute, emptyWarehouse } from './fixture.ts'
import { fillLedger } from './many.ts'

const kinds = { drop: 'dropped_at', load: 'loaded_at', flight: 'off_at' }
let w: Warehouse

beforeAll(async () => {
  w = await emptyWarehouse()
  await fillLedger(w, { aircraft: 4, days: 60, loadsADay: 4 })
  await compute(w)
}, 120_000)
afterAll(() => w.close())

/** Every row as text, with its number: a row that was written again has another one. */
async function standing(kind: string): Promise<Map<string, string>> {
  const rows = await w.rows<Row>(
    `SELECT rowid::VARCHAR AS number, t::VARCHAR AS text FROM account."${kind}" t`,
  )
  return new Map(rows.map((row) => [String(row.text), String(row.number)]))
}

test('of all that a change of the first days makes again, only what comes out otherwise is written', async () => {
  const early = `aircraft IN ('N100ZY', 'N101ZY') AND dropped_at < TIMESTAMP '2020-06-13'`
  const before: Record<string, Map<string, string>> = {}
  for (const kind of Object.keys(kinds)) before[kind] = await standing(kind)
  await w.run(
    `UPDATE ledger."drop" SET volume_gal = volume_gal - 30 WHERE ${early} AND hash("drop") % 2 = 0;
     DELETE FROM ledger."drop" WHERE ${early} AND hash("drop") % 7 = 1`,
  )
  await compute(w, { aircraft: ['N100ZY', 'N101ZY'] })
  const night: Record<string, string[]> = {}
  for (const kind of Object.keys(kinds)) {
    const rows = await standing(kind)
    night[kind] = [...rows.keys()].sort()
    const same = night[kind].filter((text) => before[kind]!.has(text))
    expect(same.length).toBeGreaterThan(500)
    const moved = same.filter((text) => rows.get(text) !== before[kind]!.get(text))
    expect(moved, kind).toEqual([])
  }
  expect(night.drop!.filter((text) => !before.drop!.has(text)).length).toBeGreaterThan(10)
  expect(Number(await w.value('SELECT count(*) FROM near_drop'))).toBeGreaterThan(1000)
  await compute(w, 'all')
  for (const kind of Object.keys(kinds))
    expect([...(await standing(kind)).keys()].sort()).toEqual(night[kind])
}, 120_000)
