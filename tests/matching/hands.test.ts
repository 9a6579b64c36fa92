import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Briefing } from '../../src/matching/hand.ts'
import { type AnyHand, openHands, threadsFor } from '../../src/matching/hands.ts'
import { type Manpower, matchAll } from '../../src/matching/whole.ts'
import type { Warehouse } from '../../src/warehouse/index.ts'
import { but, messy } from './fleet/crews.ts'
import { operate } from './fleet/operations.ts'
import { write } from './fleet/scribes.ts'
import { emptyHouse, put, tables } from './house.ts'
import { observationsOf } from './season.ts'

// Clocks an hour off, drifting ones, days on which other aircraft speak for one, and lines that stand for whole loads.
const scribes = but(messy(5), 'crew:d', { gains: 4, sums: 0.1 })
const told = write(operate({ seed: 5, aircraft: 6, days: 12 }), scribes, 5)

/** Every row of the ledger, as it stands. */
async function rowsOf(warehouse: Warehouse): Promise<Record<string, string[]>> {
  const rows: Record<string, string[]> = {}
  for (const table of tables)
    rows[table] = (await warehouse.rows(`SELECT * FROM ledger.${table}`)).map((row) => JSON.stringify(row))
  return rows
}

const inThreads =
  (threads: number) =>
  (briefing: Briefing): AnyHand[] =>
    openHands(threads, briefing)

describe('hands of a run', () => {
  let warehouse: Warehouse
  let byOne: Record<string, string[]>

  const matched = async (manpower: Manpower): Promise<Record<string, string[]>> => {
    await warehouse.transaction(() => matchAll(warehouse, manpower))
    return rowsOf(warehouse)
  }

  beforeAll(async () => {
    warehouse = await emptyHouse()
    await put(warehouse, told)
    byOne = await matched({ shares: 1, hands: inThreads(0) })
  })
  afterAll(() => warehouse.close())

  it('leave what one leaves, row by row, however the aircraft are shared out', async () => {
    expect(byOne.drop!.length).toBeGreaterThan(300)
    expect(byOne.clock!.some((row) => row.includes('"neighbours"'))).toBe(true)
    expect(byOne.finding!.length).toBeGreaterThan(0)
    expect(await matched({ shares: 5, hands: inThreads(2) })).toEqual(byOne)
    expect(await matched({ shares: 100, hands: inThreads(3) })).toEqual(byOne)
  }, 60_000)

  it('that fail leave everything as it was, with one error', async () => {
    let open = 0
    const failsAt =
      (step: string) =>
      (briefing: Briefing): AnyHand[] => {
        const hands = openHands(2, briefing)
        open += hands.length
        const closed = async (hand: AnyHand): Promise<void> => {
          await hand.close()
          open--
        }
        const broken: AnyHand = {
          // A share that nobody took: the thread itself throws.
          do: (asked, ...args) =>
            (asked === step ? hands[1]!.do('link', 999) : hands[1]!.do(asked, ...args)) as never,
          close: () => closed(hands[1]!),
        }
        return [
          { do: (asked, ...args) => hands[0]!.do(asked, ...args), close: () => closed(hands[0]!) },
          broken,
        ]
      }
    for (const step of ['hear', 'link'])
      await expect(matched({ shares: 4, hands: failsAt(step) })).rejects.toThrow(
        /^matching stopped, and nothing was changed: /,
      )
    expect(open).toBe(0)
    expect(await rowsOf(warehouse)).toEqual(byOne)
  }, 60_000)

  it('that have failed say so again, and end when they are closed', async () => {
    const { o, sources } = observationsOf(told)
    const decisions = { changes: [], excluded: new Set<number>() }
    const [hand] = openHands(1, { sources: [], decisions })
    await expect(hand!.do('hear', 0, o)).rejects.toThrow(/^matching stopped/)
    await expect(hand!.do('hear', 0, o)).rejects.toThrow(/^matching stopped/)
    const [other] = openHands(1, { sources, decisions })
    const waiting = other!.do('hear', 0, o)
    await other!.close()
    await expect(waiting).rejects.toThrow('ended before its work was done')
    await hand!.close()
  }, 60_000)

  it('are threads only where there is much to do', () => {
    expect(threadsFor(399_999)).toBe(0)
    expect(threadsFor(400_000)).toBeLessThanOrEqual(4)
  })
})
