import { expect, test } from 'vitest'
import { fieldsOf } from '../../src/matching/fields.ts'
import { match } from '../../src/matching/index.ts'
import { eventKinds } from '../../src/matching/observations.ts'
import { emptyHouse, put } from './house.ts'
import { type Hand, season } from './season.ts'

const hands: readonly Hand[] = [
  { source: 'controller:c', witness: 'controller', kinds: ['drop', 'load'], missing: 0.2 },
  {
    source: 'crew:d',
    witness: 'crew',
    kinds: ['drop', 'load', 'flight'],
    roundMin: 1,
    roundGal: 50,
    saysFire: true,
    saysFraction: true,
    sums: 0.1,
    missing: 0.2,
  },
  { source: 'dispatch:o', witness: 'dispatch', kinds: ['drop'], saysFire: true, sloppy: 0.3, missing: 0.4 },
  { source: 'tracker:t', witness: 'tracker', kinds: ['drop', 'flight'], saysVolume: false, saysPlace: true },
  { source: 'ticket:k', witness: 'ticket', kinds: ['load'], roundMin: 1, volumeNoise: 0.01 },
]

test('the value on record of every field is the claim of rank 1, also where people set fields', async () => {
  const warehouse = await emptyHouse()
  const numbers = await put(warehouse, season({ seed: 7, aircraft: 3, days: 12, hands }))
  // Fields that a witness leaves out now and then, by no rule that another field shares.
  await warehouse.run(`UPDATE obs.drop SET fluid = ['water', 'gel-enhanced', NULL][(hash(obs_no) % 3)::INTEGER + 1],
      coverage_level = nullif(hash(obs_no + 1) % 5, 0), volume_gal = CASE WHEN hash(obs_no + 2) % 4 > 0 THEN volume_gal END,
      doors = CASE WHEN hash(obs_no + 3) % 2 = 0 THEN ['L', 'R'] END, longitude = CASE WHEN hash(obs_no + 4) % 9 > 0 THEN longitude END;
    UPDATE obs.load SET base = ['KAA', 'KBB', NULL][(hash(obs_no) % 3)::INTEGER + 1], target_gal = nullif(hash(obs_no + 1) % 5, 0) * 100;
    UPDATE obs.flight SET hours = nullif(hash(obs_no) % 4, 0), from_base = ['KAA', NULL][(hash(obs_no + 1) % 2)::INTEGER + 1]`)
  // Values that have no number: a purpose that is on no list, an end before the beginning; and times between the seconds.
  await warehouse.run(`UPDATE obs.drop SET purpose = 'scouting' WHERE hash(obs_no + 5) % 50 = 0;
    UPDATE obs.drop SET dropped_at = dropped_at + INTERVAL 123456 MICROSECOND WHERE witness = 'tracker';
    UPDATE obs.flight SET on_at = off_at - INTERVAL 1 MINUTE WHERE hash(obs_no + 2) % 9 = 0`)
  const some = (nth: number): number[] => numbers.filter((_, i) => i % 11 === nth)
  const sets: [number, string, string][] = [
    ...some(1).map((obs): [number, string, string] => [obs, 'volume_gal', '777']),
    ...some(2).map((obs): [number, string, string] => [obs, 'fluid', 'foam']),
    ...some(3).map((obs): [number, string, string] => [obs, 'latitude', '44.5']),
    ...some(4).map((obs): [number, string, string] => [obs, 'fire', '']),
  ]
  for (const kind of ['drop', 'load'] as const) {
    const own = new Set(
      (await warehouse.rows<{ n: number }>(`SELECT obs_no AS n FROM obs.${kind}`)).map((row) => row.n),
    )
    for (const [obs, field, value] of sets.filter(
      ([obs, field]) => own.has(obs) && (kind === 'drop' || field === 'volume_gal'),
    ))
      await warehouse.run(
        `INSERT INTO raw.amendment SELECT count(*), TIMESTAMP '2026-08-01', 'A. Person', 'seen', 'set-field', $payload::JSON, NULL FROM raw.amendment`,
        { payload: JSON.stringify({ kind, obs_no: obs, field, value }) },
      )
  }
  await match(warehouse, 'all')
  let compared = 0
  for (const kind of eventKinds) {
    for (const { name, isTime } of fieldsOf[kind]) {
      // Parts of a fill add up, and are named together.
      const isPlain = kind !== 'load' || (name !== 'volume_gal' && name !== 'ticket')
      const value = isTime ? `strftime(e.${name}, '%Y-%m-%dT%H:%M:%SZ')` : `e.${name}::VARCHAR`
      const rows = await warehouse.rows<{ id: string; value: string | null; told: string | null }>(
        `SELECT e.${kind} AS id, ${value} AS value, c.value AS told FROM ledger.${kind} e
         LEFT JOIN ledger.claim c ON c.kind = '${kind}' AND c.id = e.${kind} AND c.field = '${name}' AND c.rank = 1
         ${isPlain ? '' : `WHERE e.load NOT IN (SELECT id FROM ledger.attestation WHERE role = 'part')`}`,
      )
      const off = rows.filter(
        (row) => row.value !== row.told && Number(row.value ?? Number.NaN) !== Number(row.told),
      )
      expect(off, `${kind}.${name}`).toEqual([])
      compared += rows.filter((row) => row.value !== null).length
    }
  }
  expect(compared).toBeGreaterThan(4000)
  await warehouse.close()
})
