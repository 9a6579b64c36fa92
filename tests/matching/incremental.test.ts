import { describe, expect, it } from 'vitest'
import { match } from '../../src/matching/index.ts'
import type { Warehouse } from '../../src/warehouse/index.ts'
import { emptyHouse, ledgerOf, notePending, put, tables } from './house.ts'
import { type Hand, season, type Told } from './season.ts'

const controller: Hand = { source: 'controller:c', witness: 'controller', kinds: ['drop', 'load'] }
const crew: Hand = {
  source: 'crew:d',
  witness: 'crew',
  kinds: ['drop'],
  roundMin: 5,
  roundGal: 50,
  saysFire: true,
  saysFraction: true,
  sloppy: 0.1,
  sums: 0.1,
  drift: 2,
}
const tracker: Hand = {
  source: 'tracker:t',
  witness: 'tracker',
  kinds: ['drop', 'flight'],
  saysVolume: false,
  saysPlace: true,
}
const flightsOnly: Hand = { source: 'tracker:t', witness: 'tracker', kinds: ['flight'], missing: 0.1 }
const ticket: Hand = { source: 'ticket:k', witness: 'ticket', kinds: ['load'], roundMin: 1 }
const flightLog: Hand = { source: 'crew:f', witness: 'crew', kinds: ['flight'], roundMin: 1 }

async function expectEqualsRebuild(warehouse: Warehouse): Promise<void> {
  const standing = await ledgerOf(warehouse)
  await match(warehouse, 'all')
  const rebuilt = await ledgerOf(warehouse)
  for (const table of tables) expect(standing[table], table).toEqual(rebuilt[table])
}

/** Seasons in which clocks hang on neighbours in every way that matching knows. */
const seasons: Record<string, Parameters<typeof season>[0]> = {
  'three witnesses, one an hour off': {
    seed: 11,
    aircraft: 3,
    days: 24,
    hands: [{ ...controller, offset: () => 60 }, crew, tracker, ticket, flightLog],
  },
  'no tracker, clocks that change': {
    seed: 12,
    aircraft: 3,
    days: 24,
    hands: [controller, { ...crew, offset: (_a, day) => (day > 11 ? 60 : 0) }, ticket],
  },
  'a tracker of flights only, an hour late for ten days': {
    seed: 14,
    aircraft: 3,
    days: 24,
    loadsPerDay: [1, 3],
    hands: [
      controller,
      { ...crew, roundMin: 1 },
      { ...flightsOnly, offset: (_a, day) => (day > 6 && day < 17 ? 60 : 0) },
      ticket,
      flightLog,
    ],
  },
  'one source of drops, six hours early for some days': {
    seed: 15,
    aircraft: 3,
    days: 24,
    hands: [{ ...controller, offset: (_a, day) => (day % 9 > 4 ? -360 : 0) }, flightsOnly],
  },
  'controller and crew an hour apart, beside flights': {
    seed: 16,
    aircraft: 3,
    days: 24,
    hands: [
      { ...controller, kinds: ['drop'] },
      { ...crew, roundMin: 1, offset: (_a, day) => (day > 6 ? 60 : 0) },
      flightsOnly,
    ],
  },
  'controller and ticket alone, an hour apart from the twelfth day on': {
    seed: 17,
    aircraft: 3,
    days: 24,
    loadsPerDay: [1, 4],
    hands: [
      { ...controller, isAbsent: (a, day) => (a + day) % 5 === 0 },
      { ...ticket, offset: (_a, day) => (day > 11 ? 60 : 0) },
    ],
  },
  'three clocks that all differ, two of them at a time': {
    seed: 18,
    aircraft: 3,
    days: 24,
    loadsPerDay: [1, 5],
    hands: [
      { ...controller, isAbsent: (a, day) => (a + day) % 3 === 0 },
      { ...crew, kinds: ['drop', 'load'], offset: () => 120, isAbsent: (a, day) => (a + day) % 3 === 1 },
      { ...ticket, offset: (_a, day) => (day < 15 ? 60 : 0) },
    ],
  },
  'two bases, of which one writes its tickets an hour late': {
    seed: 19,
    aircraft: 3,
    days: 24,
    bases: 2,
    loadsPerDay: [1, 6],
    hands: [
      { ...controller, isAbsent: (a, day) => (a + day) % 5 === 0 },
      { ...ticket, lateAt: { BASE1: 60 } },
    ],
  },
  'one event a day': {
    seed: 13,
    aircraft: 3,
    days: 24,
    loadsPerDay: [1, 1],
    splits: [1],
    hands: [controller, { ...crew, offset: () => 120 }, tracker],
  },
}

describe('a ledger brought up to date equals one built anew, to the last bit', () => {
  for (const [name, plan] of Object.entries(seasons)) {
    it(`file after file: ${name}`, async () => {
      const told = season(plan)
      const warehouse = await emptyHouse()
      const first = Math.min(...told.map((line) => line.start))
      const portions = [
        told.filter((line) => line.start < first + 15 * 86_400 && line.source !== 'crew:d'),
        told.filter((line) => line.start < first + 12 * 86_400 && line.source === 'crew:d'),
        told.filter(
          (line) =>
            line.start >= first + 12 * 86_400 && line.start < first + 15 * 86_400 && line.source === 'crew:d',
        ),
        told.filter((line) => line.start >= first + 15 * 86_400 && line.aircraft === 'N801ZY'),
        told.filter((line) => line.start >= first + 15 * 86_400 && line.aircraft !== 'N801ZY'),
      ]
      for (const portion of portions) {
        await put(warehouse, portion)
        await notePending(warehouse, portion)
        await match(warehouse, {})
      }
      await expectEqualsRebuild(warehouse)
    })

    it(`lines that fall away: ${name}`, async () => {
      const told = season(plan)
      const warehouse = await emptyHouse()
      await put(warehouse, told)
      await match(warehouse, 'all')
      const gone = told.filter((_, index) => index % 97 === 5)
      await warehouse.run(
        ['drop', 'load', 'flight']
          .map(
            (kind) =>
              `UPDATE obs.${kind} SET fate = 'superseded' WHERE obs_no IN (${gone.map((line) => line.obsNo).join(', ')});`,
          )
          .join(' '),
      )
      for (const line of gone.slice(0, 8)) {
        await notePending(warehouse, [line])
        await match(warehouse, {})
      }
      await notePending(warehouse, gone.slice(8))
      await match(warehouse, {})
      await expectEqualsRebuild(warehouse)
    })
  }

  describe('of an aircraft whose tickets nobody else tells of, late as on other aircraft of those days', () => {
    const isUnseen = (aircraft: number): boolean => aircraft === 0
    const told = season({
      seed: 21,
      aircraft: 4,
      days: 12,
      hands: [
        { ...controller, isAbsent: isUnseen },
        { ...tracker, isAbsent: isUnseen },
        { ...ticket, offset: (aircraft) => 60 + aircraft },
      ],
    })
    const isLone = ({ aircraft }: Told): boolean => aircraft === 'N801ZY'
    const first = Math.min(...told.map((line) => line.start))
    const isEarly = ({ start }: Told): boolean => start < first + 6 * 86_400
    const lone = told.filter(isLone)
    const others = told.filter((line) => !isLone(line))
    it.each([
      ['before it', [others, lone]],
      ['after it', [lone, others]],
      [
        'in part before and in part after it',
        [others.filter(isEarly), lone, others.filter((line) => !isEarly(line))],
      ],
      [
        'before it, the controller last',
        [
          others.filter((line) => line.source !== 'controller:c'),
          lone,
          others.filter((line) => line.source === 'controller:c'),
        ],
      ],
      [
        'before it, and one more for a day after it',
        [
          others.filter((line) => line.aircraft !== 'N804ZY'),
          lone,
          others.filter((line) => line.aircraft === 'N804ZY' && line.start < first + 86_400),
        ],
      ],
    ])('that come %s', async (_, portions) => {
      const warehouse = await emptyHouse()
      for (const portion of portions) {
        await put(warehouse, portion)
        await notePending(warehouse, portion)
        await match(warehouse, {})
      }
      const clocks = await warehouse.rows(
        "SELECT DISTINCT basis, offset_min > 55 AS is_late FROM ledger.clock WHERE aircraft = 'N801ZY'",
      )
      expect(clocks).toEqual([{ basis: 'neighbours', is_late: true }])
      await expectEqualsRebuild(warehouse)
    })
  })

  it('leaves other days untouched and says what it did', async () => {
    const told = season(seasons['three witnesses, one an hour off']!)
    const warehouse = await emptyHouse()
    const late = told.filter((line) => line.aircraft === 'N802ZY' && line.source === 'crew:d').slice(-3)
    await put(
      warehouse,
      told.filter((line) => !late.includes(line)),
    )
    await match(warehouse, {})
    await put(warehouse, late)
    await notePending(warehouse, late)
    const made = await match(warehouse, {})
    expect(made.aircraft).toEqual(['N802ZY'])
    expect(made.from_s).toBeGreaterThan(0)
    expect(made.from_s).toBeLessThan(
      Number(await warehouse.value(`SELECT epoch_ms(min(first_at)) / 1000 FROM obs.pending`)),
    )
    await expectEqualsRebuild(warehouse)
  })

  it('twice is once', async () => {
    const told = season(seasons['no tracker, clocks that change']!)
    const warehouse = await emptyHouse()
    await put(warehouse, told)
    await match(warehouse, {})
    const once = await ledgerOf(warehouse)
    await notePending(warehouse, told)
    await match(warehouse, {})
    expect(await ledgerOf(warehouse)).toEqual(once)
  })
})
