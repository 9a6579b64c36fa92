import { rm } from 'node:fs/promises'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { fullSchema } from '../../src/commands/schema.ts'
import { ingest } from '../../src/intake/index.ts'
import { Warehouse } from '../../src/warehouse/index.ts'
import { folderOf } from './folder.ts'

const folders: string[] = []
afterAll(async () => {
  for (const folder of folders) await rm(folder, { recursive: true, force: true })
})

async function warehouseOf(
  files: Record<string, string>,
  profiles: readonly string[] = [],
): Promise<Warehouse> {
  const logs = await folderOf({ 'aircraft.csv': 'registration\nN801ZY\n', ...files })
  folders.push(logs)
  const warehouse = await Warehouse.memory(fullSchema)
  const named = Object.keys(files).filter((name) => name.endsWith('.csv'))
  const paths = ['aircraft.csv', ...named].map((name) => join(logs, name))
  const now = () => new Date('2026-09-01')
  await ingest(
    warehouse,
    paths,
    profiles.map((name) => join(logs, name)),
    { now },
  )
  return warehouse
}

const waiting = (warehouse: Warehouse) =>
  warehouse.rows('SELECT line::INTEGER AS line, field, text, reason FROM obs.waiting ORDER BY file_no, line')

test('a flight that lands before it takes off, or after more than a day, waits in quarantine', async () => {
  const warehouse = await warehouseOf({
    'flight.csv': `${[
      'off_at,on_at,aircraft',
      '2026-07-04T16:00:00Z,2026-07-04T16:50:00Z,N801ZY',
      '2026-07-05T16:00:00Z,2026-07-05T15:50:00Z,N801ZY',
      '2026-07-06T16:00:00Z,2027-07-06T16:50:00Z,N801ZY',
      '2026-07-07T16:00:00Z,2026-07-07T16:00:00Z,N801ZY',
      '2026-07-08T16:00:00Z,2026-07-09T16:00:00Z,N801ZY',
    ].join('\n')}\n`,
  })
  expect(await waiting(warehouse)).toEqual([
    {
      line: 3,
      field: 'on_at',
      text: '2026-07-05T15:50:00Z',
      reason: 'on_at is before off_at: one of the two is wrong, or past midnight and has the day before',
    },
    {
      line: 4,
      field: 'on_at',
      text: '2027-07-06T16:50:00Z',
      reason: 'on_at is more than 24 h after off_at: one of the two has a wrong date',
    },
  ])
  expect(await warehouse.value("SELECT count(*)::INTEGER FROM obs.flight WHERE fate = 'accepted'")).toBe(3)
  await warehouse.close()
})

test('on a sheet with one date for both ends, a landing past midnight is on the next day', async () => {
  const time = (end: string) => ({ from: ['Date', end], format: ['%Y-%m-%d %H:%M'] })
  const profile = {
    profile: 'night-sheet',
    format: 'csv',
    headers: ['Date', 'Off', 'On', 'Tail'],
    zone: 'America/Denver',
    records: [
      {
        kind: 'flight',
        fields: { off_at: time('Off'), on_at: time('On'), aircraft: { from: 'Tail' } },
      },
    ],
  }
  const warehouse = await warehouseOf(
    {
      'sheet.csv': 'Date,Off,On,Tail\n2026-07-04,21:10,22:00,N801ZY\n2026-07-04,23:40,00:25,N801ZY\n',
      'night.profile.json': JSON.stringify(profile),
    },
    ['night.profile.json'],
  )
  expect(await waiting(warehouse)).toEqual([])
  expect(
    await warehouse.rows(
      'SELECT off_at::VARCHAR AS off, on_at::VARCHAR AS "on" FROM obs.flight ORDER BY off_at',
    ),
  ).toEqual([
    { off: '2026-07-05 03:10:00', on: '2026-07-05 04:00:00' },
    { off: '2026-07-05 05:40:00', on: '2026-07-05 06:25:00' },
  ])
  await warehouse.close()
})

test.each([
  [
    'mounting',
    'tank,aircraft,on_at,off_at',
    'T-1,N801ZY,2026-05-01T00:00:00Z,2026-04-01T00:00:00Z',
    'off_at',
  ],
  ['season', 'name,starts_on,ends_on', '2026,2026-11-01,2026-05-01', 'ends_on'],
  [
    'fire',
    'number,name,latitude,longitude,started_at,ended_at',
    'F-1,One,44,-115,2026-07-04T00:00:00Z,2026-07-01T00:00:00Z',
    'ended_at',
  ],
  [
    'load',
    'started_at,loaded_at,aircraft,volume_gal',
    '2026-07-04T16:00:00Z,2026-07-04T15:00:00Z,N801ZY,800',
    'loaded_at',
  ],
])('a %s that ends before it begins waits in quarantine', async (name, head, row, field) => {
  const warehouse = await warehouseOf({
    'tank.csv': 'serial,capacity_gal,doors\nT-1,800,2\n',
    [`${name}.csv`]: `${head}\n${row}\n`,
  })
  const rows = await warehouse.rows<{ field: string; reason: string }>(
    'SELECT field, reason FROM obs.waiting',
  )
  expect(rows).toHaveLength(1)
  expect(rows[0]!.field).toBe(field)
  expect(rows[0]!.reason).toMatch(/ is before /)
  await warehouse.close()
})
