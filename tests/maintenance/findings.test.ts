import { afterAll, beforeAll, expect, test } from 'vitest'
import { maintain } from '../../src/maintenance/index.ts'
import type { Warehouse } from '../../src/warehouse/index.ts'
import { register } from '../account/fixture.ts'
import { bursty, USUAL } from '../statistics/bursty-seasons.ts'
import { fleetWarehouse } from './fleet.ts'

let warehouse: Warehouse
const found = (finding: string) =>
  warehouse.rows<{ subject: string; message: string; tank: string | null }>(
    'SELECT subject, message, tank FROM answers.finding WHERE finding = $finding ORDER BY subject',
    { finding },
  )

beforeAll(async () => {
  warehouse = await fleetWarehouse(bursty(4, { ...USUAL, units: 3, seasons: 2 }))
  await register(warehouse, 'baseline', [
    { item: 'K-1', counter: 'openings', value: 500, counted_at: '2019-12-31T00:00:00' },
    { item: 'K-3', counter: 'openings', value: 500, counted_at: '2020-01-01T00:00:00' },
  ])
  await register(warehouse, 'task', [
    { task: 'TI', applies_to: 'tank', counter: 'openings', interval: '100' },
    { task: 'TL', applies_to: 'tank', counter: 'openings', interval: '9000', repeats: 'no' },
    { task: 'VV', applies_to: 'vent-vlave', counter: 'openings', interval: '100' },
    { task: 'MO', applies_to: 'tank', counter: 'fills', interval: '6mo' },
    { task: 'NO', applies_to: 'tank', counter: 'openings' },
  ])
  await register(warehouse, 'accomplishment', [
    // before the first opening of 2020, so 500 and 0 were counted
    { task: 'TI', item: 'K-1', done_at: '2020-01-02T00:00:00', reading: 500 },
    { task: 'TI', item: 'K-1', done_at: '2020-01-03T00:00:00', reading: 507 },
    { task: 'TI', item: 'K-2', done_at: '2020-01-03T00:00:00', reading: 12.5 },
    { task: 'TI', item: 'K-3', done_at: '2019-06-01T00:00:00' },
    { task: 'TL', item: 'K-2', done_at: '2020-01-03T00:00:00' },
  ])
  await maintain(warehouse)
})
afterAll(() => warehouse.close())

test('a reading that is not the count is named with both, and the right one is not', async () => {
  const rows = await found('reading-disagrees')
  expect(rows.map((row) => [row.subject, row.tank])).toEqual([
    ['TI on K-1 2020-01-03 00:00', 'K-1'],
    ['TI on K-2 2020-01-03 00:00', 'K-2'],
  ])
  expect(rows[0]!.message).toContain('written down at 507 openings, but 500 were counted by then')
  expect(rows[1]!.message).toContain('written down at 12.5 openings, but 0 were counted by then')
})

test.each([
  ['work-without-count', 'TI on K-3 2019-06-01 00:00', /no reading says at what count/],
  ['life-limit-worked', 'TL on K-2 2020-01-03 00:00', /never resets/],
  ['task-without-item', 'task VV vent-vlave', /never falls due/],
])('%s', async (finding, subject, message) => {
  const rows = await found(finding)
  expect(rows.map((row) => row.subject)).toEqual([subject])
  expect(rows[0]!.message).toMatch(message)
})

test('limits that say nothing, or count months of something that is not days', async () => {
  expect((await found('limit-unusable')).map((row) => row.subject)).toEqual([
    'task MO fills',
    'task NO openings',
  ])
})

test('the same records give the same findings', async () => {
  const before = await warehouse.rows('FROM maintenance.finding ORDER BY finding_id')
  await maintain(warehouse)
  expect(await warehouse.rows('FROM maintenance.finding ORDER BY finding_id')).toEqual(before)
  expect(before).toHaveLength(7)
})
