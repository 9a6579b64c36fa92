import { afterAll, beforeAll, expect, test } from 'vitest'
import { reconcile } from '../../src/contracts/index.ts'
import { Desk } from './desk.ts'

let desk: Desk
beforeAll(async () => {
  desk = await Desk.open()
})
afterAll(() => desk.close())

/** Lines of each contract as they were written: a row that was written again has another number. */
const written = async (contract: string): Promise<unknown> =>
  desk.warehouse.value(
    `SELECT list(rowid ORDER BY rowid)::VARCHAR FROM contracts.line WHERE contract = '${contract}'`,
  )

test('what changed is held against the contracts that it bears on, and equals the whole', async () => {
  const years = { 'C-25': '2025', 'C-26': '2026', 'D-26': '2026', 'E-26': '2026' }
  const aircraft: Record<string, string[]> = {
    'C-25': ['N1'],
    'C-26': ['N1', 'N2'],
    'D-26': ['N2'],
    'E-26': ['N3'],
  }
  for (const [contract, year] of Object.entries(years)) {
    const period = { starts_on: `${year}-06-01`, ends_on: `${year}-09-30` }
    await desk.contract(contract, { ...period, aircraft: aircraft[contract]!, hours_step: 0.01 })
    await desk.rate(contract, 'gallon-loaded', '3.25')
    await desk.rate(contract, 'flight-hour', '5000')
    for (const [index, one] of aircraft[contract]!.entries()) {
      await desk.load(`${year}-07-0${index + 1}T18:00`, 2000, { aircraft: one, ticket: `${contract}-${one}` })
      await desk.flight(`${year}-07-0${index + 1}T18:10`, 66, { aircraft: one, hours: 1.1 })
      await desk.line(contract, `I-${contract}`, `${index}`, 'gallon-loaded', ['2000', '3.25', '6500'], {
        aircraft: one,
        ticket: `${contract}-${one}`,
        from_on: `${year}-07-0${index + 1}`,
      })
    }
  }
  await reconcile(desk.warehouse)
  const others = [await written('C-25'), await written('E-26')]
  // A late load and flight of N2, whose hour meter reads hundredths: two contracts list it, and one of them lists N1.
  await desk.load('2026-07-09T18:00', 1500, { aircraft: 'N2' })
  await desk.flight('2026-07-09T18:10', 66, { aircraft: 'N2', hours: 1.13 })
  await desk.warehouse.run(
    `UPDATE ledger.load SET volume_gal = 1700 WHERE aircraft = 'N1' AND loaded_at >= TIMESTAMP '2026-01-01'`,
  )
  const changed = { aircraft: ['N1', 'N2'], since: '2026-07-01 00:00:00' }
  await reconcile(desk.warehouse, changed)
  const night = await desk.picture()
  expect([await written('C-25'), await written('E-26')]).toEqual(others)
  await reconcile(desk.warehouse)
  expect(night).toEqual(await desk.picture())
  await reconcile(desk.warehouse, { ...changed, since: '0001-01-01 00:00:00' })
  expect(night).toEqual(await desk.picture())
  expect(JSON.stringify(night)).toContain('quantity-over')
})

test('a note of the autumn that takes back a part of a line of the summer finds it, whatever changed', async () => {
  await desk.clear()
  await desk.contract('C-1', { starts_on: '2026-06-01', ends_on: '2026-10-31' })
  await desk.rate('C-1', 'gallon-loaded', '2')
  await desk.load('2026-07-04T18:00', 2000, { ticket: 'A-1' })
  await desk.line('C-1', 'I-1', '1', 'gallon-loaded', ['2200', '2', '4400'], { ticket: 'A-1' })
  await desk.line('C-1', 'I-2', '1', 'gallon-loaded', ['-200', '2', '-400'], {
    ticket: 'A-1',
    from_on: '2026-09-20',
  })
  await reconcile(desk.warehouse)
  await desk.load('2026-09-20T18:00', 1500)
  await reconcile(desk.warehouse, { aircraft: ['N1'], since: '2026-09-20 00:00:00' })
  const night = await desk.picture()
  expect(JSON.stringify(night)).toContain('400.00 was in dispute there')
  await reconcile(desk.warehouse)
  expect(night).toEqual(await desk.picture())
}, 30_000)

test('a meter that turns out to read hundredths is read so from the first flight on', async () => {
  await desk.clear()
  await desk.contract('C-1', { starts_on: '2026-06-01', ends_on: '2026-10-31', hours_step: 0.01 })
  await desk.rate('C-1', 'flight-hour', '5000')
  await desk.flight('2026-07-04T18:10', 67, { hours: 1.1 })
  await reconcile(desk.warehouse)
  const tenths = await desk.unbilled()
  await desk.flight('2026-09-20T18:10', 67, { hours: 1.13 })
  await reconcile(desk.warehouse, { aircraft: ['N1'], since: '2026-09-20 00:00:00' })
  const night = await desk.picture()
  expect((await desk.unbilled())[0]).not.toEqual(tenths[0])
  await reconcile(desk.warehouse)
  expect(night).toEqual(await desk.picture())
}, 30_000)
