import { describe, expect, it } from 'vitest'
import { match } from '../../src/matching/index.ts'
import { emptyHouse, line, put } from './house.ts'

type Line = ReturnType<typeof line>

const at = (minutes: number): string =>
  new Date(Date.UTC(2026, 6, 11, 16) + Math.round(minutes * 60) * 1000).toISOString()
const toFive = (minutes: number): number => 5 * Math.round(minutes / 5)

/** Minutes by which sorties begin after the full hour. */
const begins = [-1, 2, 1, 0, -1, 2, 0, 2, -1]

/** Sorties an hour apart, each of a load, a flight and a drop, as a ticket, a tracker, a controller and a crew tell them. */
function sorties(count: number, late: { controller?: number; crew?: number }): Line[] {
  const [controller, crew] = [late.controller ?? 0, late.crew ?? 0]
  return begins.slice(0, count).flatMap((after, hour) => {
    const loaded = 60 * hour + after
    const [off, drop, on] = [loaded + 5, loaded + 27, loaded + 42]
    const volume = 2900 + ((hour * 37) % 80)
    return [
      line('load', 'controller:c', at(loaded + controller), { volume }),
      line('load', 'ticket:k', at(Math.round(loaded)), { volume }),
      line('flight', 'tracker:f', at(off), { until: at(on) }),
      line('flight', 'crew:d', at(toFive(off + crew)), { until: at(toFive(on + crew)) }),
      line('drop', 'controller:c', at(drop + controller), { volume }),
      line('drop', 'crew:d', at(toFive(drop + crew)), { volume: 50 * Math.round(volume / 50) }),
    ]
  })
}

describe('sorties an hour apart and a clock that is an hour off', () => {
  it.each([
    [9, { controller: 60 }, 'controller:c'],
    [9, { controller: -60 }, 'controller:c'],
    [6, { crew: 60 }, 'crew:d'],
    [9, { crew: 60 }, 'crew:d'],
  ] as const)(
    '%i of them, %o: by that hour events fit to seconds, by none but nearly',
    async (count, late, source) => {
      const warehouse = await emptyHouse()
      await put(warehouse, sorties(count, late))
      await match(warehouse, 'all')
      const clocks = await warehouse.rows(
        'SELECT source, offset_min AS minutes FROM ledger.clock WHERE offset_min <> 0',
      )
      expect(clocks).toEqual([{ source, minutes: Object.values(late)[0] }])
      const [drops] = await warehouse.rows(
        'SELECT count(*) AS drops, count(*) FILTER (len(witnesses) = 2) AS told_twice FROM ledger.drop',
      )
      expect(drops).toEqual({ drops: count, told_twice: count })
    },
  )

  it.each([4, 6, 9])('%i of them, in time: nobody is an hour off', async (count) => {
    const warehouse = await emptyHouse()
    await put(warehouse, sorties(count, {}))
    await match(warehouse, 'all')
    expect(await warehouse.rows('SELECT source FROM ledger.clock WHERE offset_min <> 0')).toEqual([])
  })
})
