import { beforeEach, describe, expect, it } from 'vitest'
import { match } from '../../src/matching/index.ts'
import type { Warehouse } from '../../src/warehouse/index.ts'
import { emptyHouse, ledgerOf, line, notePending, put } from './house.ts'

/** One source that writes by two hands: two tablets of a crew, a sheet and its fair copy. */
let warehouse: Warehouse
beforeEach(async () => {
  warehouse = await emptyHouse()
})

type Line = Parameters<typeof put>[1][number]
const [c, d] = ['controller:c', 'crew:d']
const at = (minutes: number): string =>
  new Date(Date.UTC(2026, 6, 4, 15, 0) + Math.round(minutes) * 60_000).toISOString()

/** Minutes of five sorties of two drops. */
const minutes = [0, 1, 2, 3, 4].flatMap((sortie) => [sortie * 55, sortie * 55 + 4])
const volumes = [820, 790, 1200, 410, 800, 805, 1500, 300, 780, 815]
const seen = (offset: number, step = 1, which = minutes.map((_, i) => i)): Line[] =>
  which.map((i) =>
    line('drop', d, at(minutes[i]! + offset), { volume: Math.round(volumes[i]! / step) * step }),
  )
const measured = (): Line[] =>
  minutes.map((minute, i) => line('drop', c, at(minute), { volume: volumes[i]! }))

const evens = [0, 2, 4, 6, 8]
const odds = [1, 3, 5, 7, 9]

async function told(): Promise<{ drops: number; gallons: number; attested: number; findings: string[] }> {
  await match(warehouse, 'all')
  const [row] = await warehouse.rows<{ drops: number; gallons: number; attested: number }>(
    `SELECT count(*)::INTEGER AS drops, sum(volume_gal)::INTEGER AS gallons,
       (SELECT count(*)::INTEGER FROM ledger.attestation WHERE kind = 'drop') AS attested FROM ledger.drop`,
  )
  const findings = await warehouse.rows<{ text: string }>(
    `SELECT finding || ': ' || message AS text FROM ledger.finding WHERE finding <> 'clock-offset' ORDER BY 1`,
  )
  return { ...row!, findings: findings.map((one) => one.text) }
}

describe('what a source tells again in another file', () => {
  const gallons = volumes.reduce((sum, volume) => sum + volume, 0)
  const note = (count: string) =>
    `told-twice: crew:d tells ${count} of N801ZY in more than one file, and each is counted once: files without a name`

  it('is counted once where nobody else tells of it', async () => {
    await put(warehouse, seen(0), 1)
    await put(warehouse, seen(3, 50), 2)
    expect(await told()).toEqual({ drops: 10, gallons, attested: 20, findings: [note('10 drops')] })
  })

  it('is counted once beside a controller, with what each hand missed', async () => {
    await put(warehouse, measured(), 1)
    await put(warehouse, seen(1, 1, [0, 1, 2, 4, 5, 6, 8, 9]), 2)
    await put(warehouse, seen(-2, 50, [1, 2, 3, 4, 6, 7, 9]), 3)
    const found = await told()
    expect(found).toMatchObject({ drops: 10, gallons, attested: 25, findings: [note('5 drops')] })
  })

  it('is counted once where only its last line is left of a file', async () => {
    await put(warehouse, measured(), 1)
    await put(warehouse, seen(1), 2)
    await put(warehouse, [{ ...seen(-2, 50)[9]!, obsNo: 3 * 2 ** 32 + 11 * 16 }], 3)
    expect(await told()).toMatchObject({ drops: 10, attested: 21, findings: [note('a drop')] })
  })

  it('takes a flight that was written twice for one', async () => {
    const flights = (offset: number) =>
      [0, 1, 2].map((sortie) =>
        line('flight', d, at(sortie * 55 - 10 + offset), { until: at(sortie * 55 + 20 + offset) }),
      )
    await put(warehouse, flights(0), 1)
    await put(warehouse, flights(4), 2)
    await match(warehouse, 'all')
    expect(await warehouse.value('SELECT count(*)::INTEGER FROM ledger.flight')).toBe(3)
  })
})

describe('what a source tells in several files, each once,', () => {
  it('is as many drops as lines: every other sortie in another file', async () => {
    const sorties = (rest: number) => minutes.map((_, i) => i).filter((i) => (i >> 1) % 2 === rest)
    await put(warehouse, seen(0, 1, sorties(0)), 1)
    await put(warehouse, seen(0, 1, sorties(1)), 2)
    expect(await told()).toMatchObject({ drops: 10, attested: 10, findings: [] })
  })

  it('is as many drops as lines: a file for each drop, and a controller that missed some', async () => {
    await put(
      warehouse,
      measured().filter((_, i) => i !== 5),
      1,
    )
    for (const [i, one] of seen(1).entries()) await put(warehouse, [one], 2 + i)
    expect(await told()).toMatchObject({ drops: 10, attested: 19, findings: [] })
  })

  it('is as many drops as lines: the drops of a load in two files whose volumes differ', async () => {
    await put(warehouse, seen(0, 1, [2, 6]), 1)
    await put(warehouse, seen(0, 1, [3, 7]), 2)
    expect(await told()).toMatchObject({ drops: 4, attested: 4, findings: [] })
  })
})

it('lines of one file are each an event, also those of a file that is told again', async () => {
  await put(warehouse, [...seen(0), line('drop', d, at(1), { volume: 820 })], 1)
  await put(warehouse, seen(3, 50), 2)
  expect(await told()).toMatchObject({ drops: 11, attested: 21 })
})

it('the second file makes of a ledger what both together make, and its going what the first alone makes', async () => {
  const [one, two] = [[...measured(), ...seen(1, 1, [...evens, 1])], seen(-2, 50, [...odds, 4])]
  await put(warehouse, one, 1)
  await put(warehouse, two, 2)
  await match(warehouse, 'all')
  const together = await ledgerOf(warehouse)

  const other = await emptyHouse()
  await put(other, one, 1)
  await match(other, 'all')
  const alone = await ledgerOf(other)
  await put(other, two, 2)
  const pending = two.map((line) => ({ ...line, obsNo: 0, truth: [] })) as unknown as Parameters<
    typeof notePending
  >[1]
  await notePending(other, pending)
  await match(other, {})
  expect(await ledgerOf(other)).toEqual(together)
  await other.run(`UPDATE obs."drop" SET fate = 'superseded' WHERE file_no = 2`)
  await notePending(other, pending)
  await match(other, {})
  expect(await ledgerOf(other)).toEqual(alone)
  await other.close()
})
