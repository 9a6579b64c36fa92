import { rm } from 'node:fs/promises'
import { afterAll, expect, test } from 'vitest'
import { fullSchema } from '../../src/commands/schema.ts'
import { ingest } from '../../src/intake/index.ts'
import { Warehouse } from '../../src/warehouse/index.ts'
import { folderOf } from './folder.ts'

let logs: string | null = null
afterAll(async () => {
  if (logs) await rm(logs, { recursive: true, force: true })
})

test('a large file lands whole with its lines, among small ones; a run that is cut leaves none of it', async () => {
  const rows = 120_000
  const at = (i: number) => new Date(Date.UTC(2026, 5, 1) + i * 60_000).toISOString()
  const lines = Array.from(
    { length: rows },
    (_, i) => `${at(i)},N801ZY,${500 + (i % 7)},R-${i},${'x'.repeat(24)}`,
  )
  logs = await folderOf({
    'aircraft.csv': 'registration\nN801ZY\n',
    'drop-1.csv': `dropped_at,aircraft,volume_gal,record,fire\n${lines.join('\n')}\n`,
    'drop-2.csv': 'dropped_at,aircraft,volume_gal,record\n2026-07-04T20:05:00Z,N801ZY,800,\n',
  })
  const warehouse = await Warehouse.memory(fullSchema)
  const now = () => new Date('2026-09-01')
  const settle = async () => {
    throw new Error('cut')
  }
  await expect(ingest(warehouse, [logs], [], { now, settle })).rejects.toThrow('cut')
  const layouts = await warehouse.rows<{ name: string }>(
    `SELECT table_name AS name FROM information_schema.tables WHERE table_schema = 'raw' AND table_name LIKE 'layout_%'`,
  )
  for (const { name } of layouts)
    expect([name, await warehouse.value(`SELECT count(*)::INTEGER FROM raw.${name}`)]).toEqual([name, 0])
  expect(await warehouse.value('SELECT count(*)::INTEGER FROM raw.landing')).toBe(0)
  expect(await warehouse.value('SELECT count(*)::INTEGER FROM raw.file')).toBe(0)

  const report = await ingest(warehouse, [logs], [], { now })
  expect(report.totals).toMatchObject({ read: rows + 2, accepted: rows + 2 })
  expect(
    await warehouse.value(
      `SELECT count(*)::INTEGER FROM obs.drop WHERE record IS NOT NULL AND line_no <> 2 + substr(record, 3)::INTEGER`,
    ),
  ).toBe(0)
  expect(await warehouse.value('SELECT count(*)::INTEGER FROM raw.landing')).toBe(0)
  await warehouse.close()
})
