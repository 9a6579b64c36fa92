import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Row, Warehouse } from '../../src/warehouse/index.ts'
import { ask, compute, emptyWarehouse, happened, only, register } from './fixture.ts'

/** One tank, two aircraft, five drops and one release that nobody wrote down; every number worked out by hand. */
let w: Warehouse

beforeAll(async () => {
  w = await emptyWarehouse()
  await register(w, 'aircraft', [
    { registration: 'N801ZY', call_number: 'T801' },
    { registration: 'N802ZY', call_number: 'T802' },
  ])
  await register(w, 'tank', [{ serial: 'K-1', capacity_gal: 2000, doors: 2 }])
  await register(w, 'mounting', [
    { tank: 'K-1', aircraft: 'N801ZY', on_at: '2026-07-01T00:00:00', off_at: '2026-07-11T00:00:00' },
    { tank: 'K-1', aircraft: 'N802ZY', on_at: '2026-07-11T00:00:00', off_at: null },
  ])
  await register(w, 'component', [
    { serial: 'D-A', kind: 'door' },
    { serial: 'D-B', kind: 'door' },
  ])
  await register(w, 'fitting', [
    { component: 'D-A', tank: 'K-1', position: 'door-1', on_at: '2026-06-01T00:00:00' },
    { component: 'D-B', tank: 'K-1', position: 'door-2', on_at: '2026-06-01T00:00:00' },
  ])
  await register(w, 'baseline', [
    { item: 'K-1', counter: 'openings', value: 100, counted_at: '2026-06-30T00:00:00' },
    { item: 'D-A', counter: 'door-cycles', value: 100, counted_at: '2026-06-30T00:00:00' },
    { item: 'D-B', counter: 'door-cycles', value: 100, counted_at: '2026-06-30T00:00:00' },
  ])
  await register(w, 'base', [{ code: 'JUN', name: 'Juniper Flat', zone: 'America/Boise' }])
  const season = { started_at: '2026-07-01T00:00:00', ended_at: '2026-08-01T00:00:00', radius_nm: 5 }
  await register(w, 'fire', [
    { number: 'F-1', latitude: 43.0, longitude: -115.0, ...season },
    { number: 'F-2', latitude: 43.5, longitude: -115.0, ...season },
  ])
  await happened(
    w,
    'load',
    ['18:00', '19:30', '21:00', '22:00'].map((time, index) => ({
      aircraft: 'N801ZY',
      loaded_at: `2026-07-04T${time}:00`,
      base_text: 'JUN',
      ticket: `T${index + 1}`,
      volume_gal: 2000,
      meter_gal: 2000,
      fluid: 'retardant',
      witnesses: ['ticket'],
    })),
  )
  const flights = [
    ['18:10', '19:10'],
    ['19:40', '20:40'],
    ['21:10', '21:50'],
    ['22:10', '23:10'],
  ]
  await happened(
    w,
    'flight',
    flights.map(([off, on]) => ({
      aircraft: 'N801ZY',
      off_at: `2026-07-04T${off}:00`,
      on_at: `2026-07-04T${on}:00`,
    })),
  )
  const both = { witnesses: ['controller', 'crew'], status: 'corroborated', is_recorded: true }
  const controller = { witnesses: ['controller'], is_recorded: true }
  await happened(w, 'drop', [
    {
      aircraft: 'N801ZY',
      dropped_at: '2026-07-04T18:30:20',
      volume_gal: 980,
      fraction: 0.5,
      fire_text: 'F-1',
      ...both,
    },
    {
      aircraft: 'N801ZY',
      dropped_at: '2026-07-04T18:36:10',
      volume_gal: 1010,
      fraction: 0.5,
      fire_text: 'F-2',
      ...both,
    },
    {
      aircraft: 'N801ZY',
      dropped_at: '2026-07-04T20:00:00',
      volume_gal: 2000,
      fraction: 1,
      latitude: 43.01,
      longitude: -115,
    },
    {
      aircraft: 'N801ZY',
      dropped_at: '2026-07-04T22:30:00',
      volume_gal: 2000,
      purpose: 'emergency',
      is_emergency_release: true,
      ...controller,
    },
    {
      aircraft: 'N802ZY',
      dropped_at: '2026-07-12T17:00:00',
      volume_gal: 0,
      purpose: 'ground-test',
      doors: ['door-1'],
      ...controller,
    },
  ])
  await compute(w)
})
afterAll(() => w.close())

const near = (value: number): unknown => expect.closeTo(value, 9)
const f1Hours = 980 / 1990 + 1
const f2Hours = 1010 / 1990
const idleHours = 40 / 60 + 1

describe('worked example', () => {
  test('each drop has its tank, base, fire and purpose', async () => {
    expect(
      only(
        await ask(w, 'drops'),
        'dropped_at',
        'tank',
        'base',
        'fire',
        'fire_basis',
        'volume_gal',
        'purpose',
      ),
    ).toEqual([
      ['2026-07-04T18:30:20Z', 'K-1', 'JUN', 'F-1', 'stated', 980, 'fire'],
      ['2026-07-04T18:36:10Z', 'K-1', 'JUN', 'F-2', 'stated', 1010, 'fire'],
      ['2026-07-04T20:00:00Z', 'K-1', 'JUN', 'F-1', 'nearest', 2000, 'fire'],
      ['2026-07-04T22:30:00Z', 'K-1', 'JUN', null, 'unattributed', 2000, 'emergency'],
      ['2026-07-12T17:00:00Z', 'K-1', null, null, 'unattributed', 0, 'ground-test'],
    ])
    const [distance] = await w.rows<Row>(
      `SELECT fire_distance_nm FROM account."drop" WHERE fire_basis = 'nearest'`,
    )
    expect(distance?.fire_distance_nm).toBeCloseTo(0.6, 2)
  })

  test('gallons and hours per fire', async () => {
    const rows = await ask(w, 'gallons-by-fire')
    expect(
      only(rows, 'fire', 'drops', 'gallons', 'retardant_gal', 'flight_hours', 'gallons_per_flight_hour'),
    ).toEqual([
      ['F-1', 2, 2980, 2980, near(f1Hours), near(2980 / f1Hours)],
      ['F-2', 1, 1010, 1010, near(f2Hours), near(1990)],
      ['unattributed', 0, 0, 0, 0, null],
    ])
    expect(rows[0]).toMatchObject({ first_at: '2026-07-04T18:30:20Z', last_at: '2026-07-04T20:00:00Z' })
    const hours = await ask(w, 'hours-by-fire')
    expect(only(hours, 'fire', 'flight_hours')).toEqual([
      ['F-1', near(f1Hours)],
      ['F-2', near(f2Hours)],
      ['unattributed', 0],
      ['no drop', near(idleHours)],
    ])
  })

  test('gallons per base, aircraft and day; volume by purpose', async () => {
    const base = await ask(w, 'gallons-by-base')
    expect(only(base, 'base', 'loads', 'loaded_gal', 'drops', 'gallons', 'flight_hours')).toEqual([
      ['JUN', 4, 8000, 3, 3990, near(2)],
      ['unknown', 0, 0, 0, 0, 0],
      ['no drop', null, null, null, null, near(idleHours)],
    ])
    expect(base[0]).toMatchObject({ gallons_per_flight_hour: near(1995), median_turnaround_min: 90 })
    const [aircraft, ...others] = await ask(w, 'gallons-by-aircraft')
    expect(others).toEqual([])
    expect(aircraft).toMatchObject({
      aircraft: 'N801ZY',
      call_number: 'T801',
      drops: 3,
      gallons: 3990,
      airborne_hours: near(11 / 3),
      mission_hours: near(2),
      gallons_per_airborne_hour: near(3990 / (11 / 3)),
      gallons_per_mission_hour: near(1995),
    })
    expect(await ask(w, 'gallons-by-day')).toEqual([
      { day: '2026-07-04', drops: 3, gallons: 3990, airborne_hours: near(11 / 3) },
    ])
    expect(only(await ask(w, 'volume-by-purpose'), 'purpose', 'drops', 'gallons')).toEqual([
      ['fire', 3, 3990],
      ['emergency', 1, 2000],
      ['ground-test', 1, 0],
    ])
  })

  test('the balance infers the release that nobody wrote down', async () => {
    const cycles = await ask(w, 'tank-balance')
    expect(
      only(cycles, 'loaded_gal', 'dropped_gal', 'level_at_close_gal', 'inferred_openings', 'finding'),
    ).toEqual([
      [2000, 1990, 10, 0, null],
      [2000, 2000, 0, 0, null],
      [2000, 0, 2000, 1, 'unrecorded-release'],
      [2000, 2000, 0, 0, null],
    ])
  })

  test('counters of the tank and its doors as of 31 July', async () => {
    const rows = await ask(w, 'tank-cycles', { as_of: '2026-07-31' })
    const wanted = [
      ['K-1', 'openings', 100, 4, 5, 1, 106],
      ['D-A', 'door-cycles', 100, 4, 5, 1, 106],
      ['D-B', 'door-cycles', 100, 3, 4, 1, 105],
      ['K-1', 'retardant-openings', 0, 3, 4, 1, 5],
      ['K-1', 'emergency-releases', 0, 1, 1, 0, 1],
      ['K-1', 'fills', 0, 0, 4, 0, 4],
      ['K-1', 'mountings', 0, 0, 2, 0, 2],
    ]
    const found = only(rows, 'item', 'counter', 'baseline', 'recorded', 'counted', 'inferred', 'total')
    expect(found).toEqual(expect.arrayContaining(wanted))
    const hours = rows.find((row) => row.item === 'K-1' && row.counter === 'mounted-hours')
    expect(hours).toMatchObject({ counted: near(11 / 3), recorded: 0, total: near(11 / 3) })
  })

  test('what a person has to look at, and nothing else', async () => {
    expect(only(await ask(w, 'findings'), 'finding', 'severity', 'happened_at', 'subject')).toEqual([
      ['flight-without-drop', 'warning', '2026-07-04T21:10:00Z', 'flight F-N801ZY-20260704T211000'],
      ['unrecorded-release', 'warning', '2026-07-04T21:30:00Z', 'load L-N801ZY-20260704T210000'],
      ['home-zone-unknown', 'note', '2026-07-12T17:00:00Z', 'N802ZY K-1'],
    ])
  })
})
