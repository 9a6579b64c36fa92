import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { packageRoot, type Warehouse } from '../../src/warehouse/index.ts'
import { ask, compute, emptyWarehouse } from '../account/fixture.ts'

/** The columns that scripts and spreadsheets rely on, in order; more may follow. */
const promised: Record<string, string> = {
  'gallons-by-fire':
    'fire name drops gallons water_gal retardant_gal gel_gal foam_gal flight_hours gallons_per_flight_hour first_at last_at',
  'gallons-by-base':
    'base name loads loaded_gal drops gallons flight_hours gallons_per_flight_hour median_turnaround_min',
  'gallons-by-aircraft':
    'aircraft call_number drops gallons airborne_hours mission_hours gallons_per_airborne_hour gallons_per_mission_hour',
  'gallons-by-day': 'day drops gallons airborne_hours',
  'volume-by-purpose': 'purpose drops gallons',
  'hours-by-fire': 'fire flight_hours',
  drops:
    'drop dropped_at aircraft tank base fire fire_basis flight volume_gal commanded_gal coverage_level fraction fluid purpose openings latitude longitude witnesses status',
  loads: 'load loaded_at aircraft tank base ticket volume_gal fluid witnesses status',
  flights: 'flight off_at on_at aircraft airborne_hours mission witnesses status',
  'tank-cycles': 'item kind tank position counter baseline recorded counted inferred total',
  'tank-balance': 'tank opened_at loaded_gal dropped_gal offloaded_gal residual_gal finding',
  'meter-bias': 'base pairs bias_pct low_pct high_pct',
  turnarounds: 'base turnarounds median_min p90_min fill_min out_min scene_min back_min',
  findings: 'finding severity subject happened_at message evidence',
  quarantine: 'file line profile field text reason',
  arrivals: 'path sha256 profile arrived_at read accepted duplicate superseded quarantined',
  'clock-offsets': 'witness aircraft day offset_min pairs',
  completeness: 'aircraft day witness flights events last_arrived_at',
}

let w: Warehouse
beforeAll(async () => {
  w = await emptyWarehouse()
  await compute(w)
}, 60_000)
afterAll(() => w.close())

test.each(Object.entries(promised))(
  '%s gives the promised columns, and says what each means',
  async (name, columns) => {
    const text = await readFile(join(packageRoot, 'queries', 'answers', `${name}.sql`), 'utf8')
    const taken = /^-- params:(.*)$/m
      .exec(text)![1]!
      .split(',')
      .map((param) => param.trim())
    for (const param of taken)
      expect(text.replace(/^--.*$/gm, ''), `$${param} is used`).toMatch(new RegExp(`\\$${param}\\b`))
    const result = await w.stream(text, Object.fromEntries(taken.map((param) => [param, null])))
    const given = result.columnNames()
    expect(given.slice(0, columns.split(' ').length)).toEqual(columns.split(' '))
    const told = [...text.matchAll(/^-- {3}([a-z][a-z0-9_]*) /gm)].map((match) => match[1])
    expect(told).toEqual(given)
  },
)

test('the rows that are always there are there in an empty warehouse', async () => {
  expect((await ask(w, 'gallons-by-fire')).map((row) => [row.fire, row.drops, row.gallons])).toEqual([
    ['unattributed', 0, 0],
  ])
  expect((await ask(w, 'hours-by-fire')).map((row) => [row.fire, row.flight_hours])).toEqual([
    ['unattributed', 0],
    ['no drop', 0],
  ])
  expect((await ask(w, 'gallons-by-base')).map((row) => row.base)).toEqual(['unknown', 'no drop'])
})
