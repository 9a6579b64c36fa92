import { expect, test } from 'vitest'
import { match } from '../../src/matching/index.ts'
import type { Warehouse } from '../../src/warehouse/index.ts'
import { emptyHouse, ledgerOf, notePending, put, tables } from './house.ts'
import { type Hand, randomOf, season, type Told } from './season.ts'

const from = Number(process.env.CHANCE_FROM ?? 0)
/** In this one a change began within a block of days before. */
const kept = process.env.CHANCE_FROM ? [] : [74]
const seeds = [...Array.from({ length: Number(process.env.CHANCE_COUNT ?? 10) }, (_, n) => from + n), ...kept]

type Chance = () => number
type ByDay<T> = (aircraft: number, day: number) => T
const one = <T>(chance: Chance, list: readonly T[]): T => list[Math.floor(chance() * list.length)]!

/** A clock that is right, wrong all season, from a day on, or on some days. */
function lateness(chance: Chance): ByDay<number> | undefined {
  const [late, first, every] = [
    one(chance, [60, -60, 120, 4, -360]),
    24 * chance(),
    2 + Math.floor(5 * chance()),
  ]
  return one(chance, [
    undefined,
    () => late,
    (_, day) => (day >= first ? late : 0),
    (aircraft, day) => ((aircraft + day) % every === 0 ? late : 0),
  ] as const)
}

/** Days that a hand wrote nothing of. */
function absence(chance: Chance): ByDay<boolean> | undefined {
  const every = 2 + Math.floor(5 * chance())
  return chance() < 0.4 ? undefined : (aircraft, day) => (aircraft + day) % every === 0
}

/** Two to six hands, two of which may be of one source, with troubles of their own. */
function handsBy(chance: Chance): Hand[] {
  const crewKinds = [['drop'], ['drop', 'flight'], ['drop', 'load']] as const
  const all: Hand[] = [
    {
      source: 'controller:c',
      witness: 'controller',
      kinds: one(chance, [['drop', 'load'], ['drop']] as const),
    },
    {
      source: 'ticket:k',
      witness: 'ticket',
      kinds: ['load'],
      roundMin: 1,
      lateAt: one<Record<string, number>>(chance, [{}, { BASE0: 60 }, { BASE1: -60 }]),
    },
    {
      source: 'crew:d',
      witness: 'crew',
      kinds: one(chance, crewKinds),
      roundMin: one(chance, [1, 5]),
      roundGal: 50,
      saysFire: true,
    },
    { source: 'tracker:t', witness: 'tracker', kinds: ['flight'], missing: 0.1, saysVolume: false },
    { source: 'dispatch:i', witness: 'dispatch', kinds: ['drop'], roundMin: 1 },
    { source: 'crew:d', witness: 'crew', kinds: one(chance, crewKinds), roundMin: 1, roundGal: 10, file: 1 },
  ]
  const troubled = all.map((hand) => {
    const [offset, isAbsent] = [lateness(chance), absence(chance)]
    return { ...hand, ...(offset && { offset }), ...(isAbsent && { isAbsent }) }
  })
  const kept = troubled.filter(() => chance() < 0.6)
  return kept.length < 2 ? troubled.slice(0, 2) : kept
}

/** The lines in some portions: night after night, by sender, or as it happens. */
function portionsOf(told: readonly Told[], chance: Chance): Told[][] {
  const count = 2 + Math.floor(5 * chance())
  const times = told.map((line) => line.start)
  const [first, last] = [Math.min(...times), Math.max(...times) + 1]
  const sources = [...new Set(told.map((line) => line.source))]
  const placeOf = one<(line: Told) => number>(chance, [
    (line) => Math.floor(((line.start - first) / (last - first)) * count),
    (line) => sources.indexOf(line.source) + Number(line.start > (first + last) / 2),
    () => Math.floor(chance() * count),
  ])
  const portions: Told[][] = Array.from({ length: count }, () => [])
  for (const line of told) portions[placeOf(line) % count]!.push(line)
  return portions.filter((portion) => portion.length > 0)
}

async function withdraw(warehouse: Warehouse, gone: readonly Told[]): Promise<void> {
  const numbers = gone.map((line) => line.obsNo).join(', ')
  for (const kind of ['drop', 'load', 'flight'])
    await warehouse.run(`UPDATE obs.${kind} SET fate = 'superseded' WHERE obs_no IN (${numbers})`)
}

test.each(seeds)(
  'season %i, in portions and with lines withdrawn, gives what all at once gives',
  async (seed) => {
    const chance = randomOf(7919 * seed + 5)
    const loadsPerDay = one(chance, [
      [1, 1],
      [1, 3],
      [1, 5],
      [0, 2],
    ] as const)
    const hands = handsBy(chance)
    const told = season({ seed, aircraft: 3, days: 24, loadsPerDay, hands, bases: one(chance, [1, 2, 3]) })
    const warehouse = await emptyHouse()
    for (const portion of portionsOf(told, chance)) {
      await put(warehouse, portion)
      await notePending(warehouse, portion)
      await match(warehouse, {})
    }
    const [aircraft, begin] = [one(chance, told).aircraft, one(chance, told).start]
    const gone = told.filter(
      (line) => line.aircraft === aircraft && line.start >= begin && line.start < begin + 2 * 86_400,
    )
    if (gone.length > 0) {
      await withdraw(warehouse, gone)
      await notePending(warehouse, gone)
      await match(warehouse, {})
    }
    const standing = await ledgerOf(warehouse)
    await match(warehouse, 'all')
    const whole = await ledgerOf(warehouse)
    const who = hands.map((hand) => hand.source).join(' ')
    for (const table of tables) expect(standing[table], `${table}, told by ${who}`).toEqual(whole[table])
    const heard = new Set(whole.attestation!.map((row) => (JSON.parse(row) as { obs_no: number }).obs_no))
    expect(heard.size).toBe(told.length - gone.length)
  },
  60_000,
)
