import { rm } from 'node:fs/promises'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { fullSchema } from '../../src/commands/schema.ts'
import { ingest } from '../../src/intake/index.ts'
import { Warehouse } from '../../src/warehouse/index.ts'
import { folderOf } from './folder.ts'

test('a quantity, a price and an amount that no invoice has wait in quarantine, each with its reason', async () => {
  const line = (number: number, quantity: string, price: string, amount: string) =>
    `INV-1,${number},C-1,gallon-loaded,2026-07-04,${quantity},${price},${amount}`
  const logs = await folderOf({
    'invoice.csv': `${[
      'invoice,line,contract,item,from_on,quantity,unit_price,amount',
      line(1, '1800000', '3.25', '5850000.00'),
      line(2, '200000000000', '3.25', '650000000000.00'),
      line(3, '2000', '32500000000', '6500.00'),
      line(4, '2000', '3.25', '65000000000000.00'),
      line(5, '-1000000000', '0.001', '-1000000.00'),
    ].join('\n')}\n`,
  })
  const warehouse = await Warehouse.memory(fullSchema)
  await ingest(warehouse, [join(logs, 'invoice.csv')], [], { now: () => new Date('2026-09-01') })
  expect(
    await warehouse.rows('SELECT line::INTEGER AS line, field, reason FROM obs.waiting ORDER BY line'),
  ).toEqual([
    { line: 3, field: 'quantity', reason: '200000000000 is above 1000000000' },
    { line: 4, field: 'unit_price', reason: '32500000000 is above 1000000000' },
    { line: 5, field: 'amount', reason: '65000000000000 is above 1000000000000' },
  ])
  expect(
    await warehouse.value("SELECT count(*)::INTEGER FROM obs.invoice_line WHERE fate = 'accepted'"),
  ).toBe(2)
  await warehouse.close()
  await rm(logs, { recursive: true, force: true })
})

test('a reason says a converted value to the hundredth, not to the last bit', async () => {
  const logs = await folderOf({
    'aircraft.csv': 'registration\nN801ZY\n',
    'drop.csv': 'dropped_at,aircraft,volume_gal\n2026-07-04T18:00:00Z,N801ZY,-50 L\n',
  })
  const warehouse = await Warehouse.memory(fullSchema)
  await ingest(warehouse, [logs], [], { now: () => new Date('2026-09-01') })
  // NIST Handbook 44, Appendix C: 1 US gallon is 3.785411784 L.
  expect(await warehouse.rows('SELECT reason FROM obs.waiting')).toEqual([{ reason: '-13.21 is below 0' }])
  await warehouse.close()
  await rm(logs, { recursive: true, force: true })
})
