import { expect, it } from 'vitest'
import { match } from '../../src/matching/index.ts'
import type { Warehouse } from '../../src/warehouse/index.ts'
import { emptyHouse, line, put } from './house.ts'

type Line = ReturnType<typeof line>

const at = (minutes: number): string =>
  new Date(Date.UTC(2026, 6, 4, 15, 0, 7) + minutes * 60_000).toISOString()

/** A sortie of two drops every 70 minutes: its load, its flight, and what one source wrote of the drops. */
function sortie(number: number, source: string, late = 0): Line[] {
  const start = number * 70
  const jitter = [0.3, -0.4, 0.1, 0.5, -0.2, 0.4][number % 6]!
  return [
    line('load', 'ticket:t', at(start), { volume: 2000 }),
    line('flight', 'tracker:f', at(start + 10), { until: at(start + 50) }),
    ...[0, 1].map((part) =>
      line('drop', source, at(start + 25 + part * 4 + jitter + late), {
        volume: 1000 + 15 * jitter * (part + 1),
      }),
    ),
  ]
}

async function drops(warehouse: Warehouse): Promise<{ drops: number; corroborated: number }> {
  await match(warehouse, 'all')
  const [row] = await warehouse.rows<{ drops: number; corroborated: number }>(
    `SELECT count(*)::INTEGER AS drops, count(*) FILTER (status = 'corroborated')::INTEGER AS corroborated FROM ledger.drop`,
  )
  return { ...row! }
}

it('a controller that falls silent at noon is not laid over the crew that writes from then on', async () => {
  const warehouse = await emptyHouse()
  await put(
    warehouse,
    [0, 1, 2, 3, 4, 5].flatMap((number) => sortie(number, number < 3 ? 'controller:c' : 'crew:d')),
  )
  expect(await drops(warehouse)).toEqual({ drops: 12, corroborated: 0 })
})

it('witnesses of every other sortie are not laid over each other', async () => {
  const warehouse = await emptyHouse()
  await put(
    warehouse,
    [0, 1, 2, 3, 4, 5].flatMap((number) => sortie(number, number % 2 ? 'controller:c' : 'crew:d')),
  )
  expect(await drops(warehouse)).toEqual({ drops: 12, corroborated: 0 })
})

it('a clock an hour late is still seen beside flights and loads, though a sortie is missing on each side', async () => {
  const warehouse = await emptyHouse()
  const told = [0, 1, 2, 3, 4, 5].flatMap((number) => [
    ...sortie(number, 'controller:c').filter((one) => number !== 1 || one.kind !== 'drop'),
    ...sortie(number, 'crew:d', 60).filter((one) => one.kind === 'drop' && number !== 4),
  ])
  await put(warehouse, told)
  expect(await drops(warehouse)).toEqual({ drops: 12, corroborated: 8 })
})

it('records that do not overlap and agree in nothing but their rhythm have no clock offset', async () => {
  const warehouse = await emptyHouse()
  await put(warehouse, [
    ...[0, 1, 2, 3, 4, 5].map((i) => line('drop', 'crew:one', at(i * 2), { volume: 1250 })),
    ...[0, 1, 2, 3, 4, 5].map((i) => line('drop', 'crew:two', at(240 + i * 2), { volume: 120 })),
    ...[0, 1, 2, 3, 4, 5].map((i) => line('drop', 'crew:six', at(457 + i * 2), { volume: 1250 })),
  ])
  expect(await drops(warehouse)).toEqual({ drops: 18, corroborated: 0 })
})
