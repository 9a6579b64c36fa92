import { expect, test } from 'vitest'
import { ask, compute, emptyWarehouse } from './fixture.ts'

test('the rows that are always there are there in an empty warehouse', async () => {
  const w = await emptyWarehouse()
  await compute(w)
  expect((await ask(w, 'gallons-by-fire')).map((row) => [row.fire, row.drops, row.gallons])).toEqual([
    ['unattributed', 0, 0],
  ])
  expect((await ask(w, 'hours-by-fire')).map((row) => [row.fire, row.flight_hours])).toEqual([
    ['unattributed', 0],
    ['no drop', 0],
  ])
  expect((await ask(w, 'gallons-by-base')).map((row) => row.base)).toEqual(['unknown', 'no drop'])
  await w.close()
})
