import { beforeEach, describe, expect, it } from 'vitest'
import { match } from '../../src/matching/index.ts'
import type { Warehouse } from '../../src/warehouse/index.ts'
import { emptyHouse, ledgerOf, line, notePending, put } from './house.ts'

let warehouse: Warehouse
let numbers: number[]
let made = 0

beforeEach(async () => {
  warehouse = await emptyHouse()
  made = 0
  numbers = await put(warehouse, [
    line('drop', 'controller:c', '18:30:20', { volume: 980 }),
    line('drop', 'crew:d', '18:30:00', { volume: 1000, fire: 'F-1' }),
    line('drop', 'controller:c', '19:30:00', { volume: 990 }),
    line('drop', 'crew:d', '20:45:00', { volume: 700, fire: 'F-2' }),
  ])
  await match(warehouse, {})
})

async function amend(action: string, payload: unknown): Promise<void> {
  made++
  await warehouse.run(
    `INSERT INTO raw.amendment VALUES (${made}, TIMESTAMP '2026-08-01', 'A. Person', 'seen on the recording', $action, $payload::JSON, NULL)`,
    { action, payload: JSON.stringify(payload) },
  )
  await match(warehouse, {})
}

async function undo(number: number): Promise<void> {
  await warehouse.run(`UPDATE raw.amendment SET undone_by = 99 WHERE amendment_no = ${number}`)
  await match(warehouse, {})
}

const drops = (): Promise<unknown[]> =>
  warehouse.rows(
    'SELECT drop, volume_gal AS gal, fire_text AS fire, status, is_excluded AS excluded FROM ledger.drop ORDER BY dropped_at, drop',
  )

const before = [
  { drop: 'D-N801ZY-20260704T183020Z', gal: 980, fire: 'F-1', status: 'corroborated', excluded: false },
  { drop: 'D-N801ZY-20260704T193000Z', gal: 990, fire: null, status: 'single', excluded: false },
  { drop: 'D-N801ZY-20260704T204500Z', gal: 700, fire: 'F-2', status: 'single', excluded: false },
]

describe('amendments are replayed, and undone', () => {
  it('a field that a person set goes before every witness', async () => {
    await amend('set-field', { kind: 'drop', obs_no: numbers[1], field: 'volume_gal', value: '950' })
    expect((await drops())[0]).toEqual({ ...before[0], gal: 950 })
    expect(
      await warehouse.rows(
        `SELECT witness, value, rank FROM ledger.claim WHERE field = 'volume_gal' AND id = 'D-N801ZY-20260704T183020Z' ORDER BY rank`,
      ),
    ).toEqual([
      { witness: 'manual', value: '950', rank: 1 },
      { witness: 'controller', value: '980.0', rank: 2 },
    ])
    await undo(1)
    expect(await drops()).toEqual(before)
  })

  it('what a person set is no disagreement any more, and is one again when it is taken back', async () => {
    const told = () =>
      warehouse.rows(`SELECT finding FROM ledger.finding WHERE finding LIKE '%-disagreement' ORDER BY 1`)
    await put(
      warehouse,
      [
        line('drop', 'crew:e', '18:30:00', { volume: 350, latitude: 44, longitude: -114, fire: 'F-1' }),
        line('drop', 'dispatch:i', '18:30:00', { latitude: 45, longitude: -114, fire: 'F-1' }),
      ],
      2,
    )
    await match(warehouse, 'all')
    const both = [{ finding: 'position-disagreement' }, { finding: 'volume-disagreement' }]
    expect(await told()).toEqual(both)
    await amend('set-field', { kind: 'drop', obs_no: 2 * 2 ** 32 + 32, field: 'volume_gal', value: '350' })
    expect((await drops())[0]).toMatchObject({ gal: 350 })
    expect(await told()).toEqual([{ finding: 'position-disagreement' }])
    await undo(1)
    expect(await told()).toEqual(both)
  })

  it('a time that a person set moves the record', async () => {
    await amend('set-field', {
      kind: 'drop',
      obs_no: numbers[3],
      field: 'dropped_at',
      value: '2026-07-06T20:45:00Z',
    })
    expect((await drops())[2]).toEqual({ ...before[2], drop: 'D-N801ZY-20260706T204500Z' })
    await undo(1)
    expect(await drops()).toEqual(before)
  })

  it('a line that a person gave to another aircraft leaves it when it is replaced', async () => {
    await amend('set-field', { kind: 'drop', obs_no: numbers[3], field: 'aircraft', value: 'N802ZY' })
    expect((await drops())[2]).toMatchObject({ drop: 'D-N802ZY-20260704T204500Z', gal: 700 })
    const next = { ...line('drop', 'crew:d', '20:46:00', { volume: 710 }), obsNo: 2 ** 33, truth: [] }
    await put(warehouse, [next])
    await warehouse.run(
      `UPDATE obs.drop SET fate = 'superseded', replaced_by = ${next.obsNo} WHERE obs_no = ${numbers[3]}`,
    )
    await notePending(warehouse, [{ ...next, start: next.start - 60 }, next])
    await match(warehouse, {})
    expect((await drops())[2]).toMatchObject({ drop: 'D-N801ZY-20260704T204600Z', gal: 710 })
    const standing = await ledgerOf(warehouse)
    await match(warehouse, 'all')
    expect(standing).toEqual(await ledgerOf(warehouse))
  })

  it('an excluded record stays, marked', async () => {
    await amend('exclude', { kind: 'drop', obs: [numbers[2]] })
    expect(await drops()).toEqual([before[0], { ...before[1], excluded: true }, before[2]])
    await undo(1)
    expect(await drops()).toEqual(before)
  })

  it('two records become one, one becomes two', async () => {
    await amend('merge', { kind: 'drop', obs: [numbers[2], numbers[3]] })
    expect(await drops()).toEqual([before[0], { ...before[1], fire: 'F-2', status: 'corroborated' }])
    await amend('split', { kind: 'drop', obs: [[numbers[0]], [numbers[1]]] })
    expect((await drops()).length).toBe(3)
    await undo(1)
    await undo(2)
    expect(await drops()).toEqual(before)
  })

  it('a line that was told of the wrong record is parted from it, then joined to the right one', async () => {
    await amend('split', { kind: 'drop', obs: [[numbers[0]], [numbers[1]]] })
    await amend('merge', { kind: 'drop', obs: [numbers[1], numbers[2]] })
    expect(await drops()).toEqual([
      { ...before[0], fire: null, status: 'single' },
      { ...before[1], fire: 'F-1', status: 'corroborated' },
      before[2],
    ])
    await match(warehouse, 'all')
    expect((await drops()).length).toBe(3)
  })

  it('of two decisions about the same lines the later one holds', async () => {
    await amend('split', { kind: 'drop', obs: [[numbers[0]], [numbers[1]]] })
    await amend('merge', { kind: 'drop', obs: [numbers[0], numbers[1]] })
    expect(await drops()).toEqual(before)
    await amend('split', { kind: 'drop', obs: [[numbers[1]], [numbers[0]]] })
    expect((await drops()).length).toBe(4)
  })
})
