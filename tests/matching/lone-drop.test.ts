import { describe, expect, it } from 'vitest'
import { match } from '../../src/matching/index.ts'
import { emptyHouse, line, put } from './house.ts'

type Line = ReturnType<typeof line>

interface Ledger {
  drops: number
  /** Minutes by which the crew's clock is late. */
  crew: number
}

async function ledgerOf(lines: Line[]): Promise<Ledger> {
  const warehouse = await emptyHouse()
  await put(warehouse, lines)
  await match(warehouse, 'all')
  const [drops] = await warehouse.rows<{ count: number }>(
    'SELECT count(*)::INTEGER AS count FROM ledger."drop"',
  )
  const [crew] = await warehouse.rows<{ minutes: number }>(
    `SELECT offset_min AS minutes FROM ledger.clock WHERE witness = 'crew'`,
  )
  return { drops: drops!.count, crew: crew!.minutes }
}

const controller = (volume: number): Line[] => [
  line('load', 'controller:c', '16:12:21', { volume: 1204 }),
  line('drop', 'controller:c', '16:46:56', { volume }),
]
const ticket = (at: string): Line => line('load', 'ticket:k', at, { volume: 1200 })

describe('a day of one drop that two witnesses tell of, an hour apart', () => {
  it.each([
    ['late', '17:45:00', 60],
    ['early', '15:45:00', -60],
  ])('of the only load on record: the crew reads %s', async (_, at, late) => {
    const lines = [...controller(1211), ticket('16:12:00'), line('drop', 'crew:d', at, { volume: 1200 })]
    const { drops, crew } = await ledgerOf(lines)
    expect(drops).toBe(1)
    expect(crew).toBeCloseTo(late, -1)
  })

  it('two drops where another fill is on record', async () => {
    const crew = line('drop', 'crew:d', '17:45:00', { volume: 1200 })
    const lines = [...controller(1211), ticket('16:12:00'), ticket('17:20:00'), crew]
    expect(await ledgerOf(lines)).toEqual({ drops: 2, crew: 0 })
  })

  it('two drops where both are halves of the load', async () => {
    const crew = line('drop', 'crew:d', '17:45:00', { volume: 600 })
    expect(await ledgerOf([...controller(602), ticket('16:12:00'), crew])).toEqual({ drops: 2, crew: 0 })
  })

  it('two drops of other volumes', async () => {
    const crew = line('drop', 'crew:d', '17:45:00', { volume: 900 })
    expect(await ledgerOf([...controller(1211), ticket('16:12:00'), crew])).toEqual({ drops: 2, crew: 0 })
  })

  it('two drops where they lie no whole hours apart', async () => {
    const crew = line('drop', 'crew:d', '17:20:00', { volume: 1200 })
    expect(await ledgerOf([...controller(1211), ticket('16:12:00'), crew])).toEqual({ drops: 2, crew: 0 })
  })
})
