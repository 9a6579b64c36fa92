import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { loadCatalogue, scaleOf } from '../../src/catalogue/index.ts'
import { fullSchema } from '../../src/commands/schema.ts'
import { packageRoot, Warehouse } from '../../src/warehouse/index.ts'

/** The columns that scripts and spreadsheets rely on, first and in this order; more may follow. */
const promised: Readonly<Record<string, string>> = {
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
  'inspections-due':
    'task item counter limit_at total remaining due_on_p10 due_on_p50 due_on_p90 status governs',
  'due-backtest': 'horizon_days forecasts inside_80 coverage',
  'tank-balance': 'tank opened_at loaded_gal dropped_gal offloaded_gal residual_gal finding',
  'meter-bias': 'base pairs bias_pct low_pct high_pct',
  'invoice-findings':
    'invoice line contract item aircraft finding billed_quantity supported_quantity billed_amount supported_amount difference_amount',
  'invoice-summary': 'invoice contract billed supported difference',
  'setting-accuracy': 'tank coverage_level fraction drops bias_pct low_pct high_pct',
  'drift-alarms': 'tank from_at from_drop ewma_pct limit_pct',
  'outcome-rates':
    'group_name assessed met_fire interaction_rate interaction_low interaction_high effective not_effective success_rate success_low success_high',
  turnarounds: 'base turnarounds median_min p90_min fill_min out_min scene_min back_min',
  'coverage-for-fuel': 'fuel recommended coverage_level drops gallons',
  findings: 'finding severity subject happened_at message evidence',
  quarantine: 'file line profile field text reason',
  arrivals: 'path sha256 profile arrived_at read accepted duplicate superseded quarantined',
  'clock-offsets': 'witness aircraft day offset_min pairs',
  completeness: 'aircraft day witness flights events last_arrived_at',
}

const folder = join(packageRoot, 'queries', 'answers')
const catalogue = loadCatalogue({ folders: { builtIn: folder } })
const questions = catalogue.list()
let warehouse: Warehouse

beforeAll(async () => {
  warehouse = await Warehouse.memory(fullSchema)
})
afterAll(() => warehouse.close())

test('every file is a question', () => {
  expect(catalogue.problems).toEqual([])
  expect(questions.length).toBe(readdirSync(folder).filter((name) => name.endsWith('.sql')).length)
  expect(questions.length).toBeGreaterThan(10)
})

describe.each(questions.map((question) => [question.name, question] as const))('%s', (name, question) => {
  test('says what a row is, and has a meaning for each column', () => {
    expect(question.grain).toMatch(/^one row per /)
    for (const column of question.columns)
      expect([column.name, column.about.length > 2]).toEqual([column.name, true])
    for (const param of question.params)
      expect([param.name, param.about.length > 2]).toEqual([param.name, true])
  })

  test('gives the columns that it declares, in order, money exact', async () => {
    const columns = await catalogue.columns(warehouse, name)
    expect(columns.map((column) => column.name)).toEqual(question.columns.map((column) => column.name))
    for (const column of columns) {
      if (column.kind === 'money')
        expect([column.name, [2, 6].includes(scaleOf(column.type))]).toEqual([column.name, true])
    }
  })

  test('uses every param that it declares, and no other', () => {
    const statement = question.sql.replace(/--.*$/gm, '').replace(/'(?:[^']|'')*'/g, "''")
    const used = new Set([...statement.matchAll(/\$([a-z_]+)/g)].map((match) => match[1]))
    expect([...used].sort()).toEqual(question.params.map((param) => param.name).sort())
  })

  test('is answered by an empty warehouse, with each param alone', async () => {
    for (const given of [
      {},
      ...question.params.map(({ name: param, type }) => ({ [param]: type === 'day' ? '2026-07-04' : '1' })),
    ]) {
      if (question.needs !== null) continue
      const rows = await (await catalogue.run(warehouse, name, given)).toObjects()
      expect(Array.isArray(rows)).toBe(true)
    }
  })
})

test.each(Object.entries(promised))('%s keeps the columns that others rely on', (name, columns) => {
  const names = columns.split(' ')
  const question = questions.find((one) => one.name === name)
  expect(question?.columns.slice(0, names.length).map((column) => column.name)).toEqual(names)
})
