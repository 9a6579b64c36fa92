import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Row, Warehouse } from '../../src/warehouse/index.ts'
import { ask, compute, emptyWarehouse, type Fields, happened, put, register } from './fixture.ts'

/**
 * Each definition of the account as a case worked by hand. Every case has an aircraft of its own, with a tank of 2,000 gal,
 * so that one computation serves them all. Times are UTC on 4 July 2026 unless a day is given.
 */
let w: Warehouse
const loads: Fields[] = []
const drops: Fields[] = []
const flights: Fields[] = []
const offloads: Fields[] = []
const names: string[] = []

const full = (time: string): string => (time.includes('T') ? time : `2026-07-04T${time}`)

/** What happened to one aircraft; ids are made from its name and the time. */
class Story {
  readonly aircraft: string
  constructor(aircraft: string) {
    this.aircraft = aircraft
    names.push(aircraft)
  }
  load(time: string, volume_gal: number, more: Fields = {}): this {
    const ticket = { base_text: 'JUN', fluid: 'retardant', witnesses: ['ticket'] }
    loads.push({ aircraft: this.aircraft, loaded_at: full(time), volume_gal, ...ticket, ...more })
    return this
  }
  drop(time: string, volume_gal: number | null, more: Fields = {}): this {
    drops.push({ aircraft: this.aircraft, dropped_at: full(time), volume_gal, purpose: 'fire', ...more })
    return this
  }
  flight(off: string, on: string, from: string | null = 'JUN', to: string | null = 'JUN'): this {
    const places = { from_base_text: from, to_base_text: to }
    flights.push({ aircraft: this.aircraft, off_at: full(off), on_at: full(on), ...places })
    return this
  }
  offload(time: string, volume_gal: number): this {
    offloads.push({ aircraft: this.aircraft, offloaded_at: full(time), base_text: 'JUN', volume_gal })
    return this
  }
}

const near = (value: number): unknown => expect.closeTo(value, 9)

/** Fields of an aircraft's drops in the order of their time. */
const dropsOf = async (aircraft: string, ...fields: string[]): Promise<unknown[][]> => {
  const rows = await w.rows<Row>(
    `SELECT * FROM account."drop" WHERE aircraft = '${aircraft}' ORDER BY dropped_at`,
  )
  return rows.map((row) => fields.map((field) => row[field]))
}
const findingsOf = async (aircraft: string): Promise<string[]> =>
  (
    await w.rows<{ finding: string }>(
      `SELECT finding FROM account.finding WHERE aircraft = '${aircraft}' ORDER BY finding`,
    )
  ).map((row) => row.finding)

beforeAll(async () => {
  w = await emptyWarehouse()
  await register(w, 'base', [
    { code: 'JUN', zone: 'America/Boise', latitude: 43.5, longitude: -116 },
    { code: 'ALD', zone: 'America/Boise', latitude: 45, longitude: -115 },
  ])
  const open = { started_at: '2026-07-01T00:00:00', ended_at: '2026-07-20T00:00:00' }
  await register(w, 'fire', [
    { number: 'SPOT', latitude: 43, longitude: -115, radius_nm: 1, ...open },
    { number: 'LARGE', latitude: 43.25, longitude: -115, radius_nm: 20, ...open },
    { number: 'USUAL', latitude: 44, longitude: -114, ...open },
    {
      number: 'OVER',
      latitude: 42,
      longitude: -118,
      started_at: '2026-06-01T00:00:00',
      ended_at: '2026-06-30T00:00:00',
    },
  ])
  await register(w, 'season', [{ name: '2026-27', starts_on: '2026-10-01', ends_on: '2027-04-30' }])
  await put(w, 'raw.setting', [{ name: 'home_zone', value: 'Australia/Perth' }])

  new Story('BASE1')
    .load('18:00', 2000, { base_text: 'ALD' })
    .flight('18:10', '19:10', 'ALD', 'ALD')
    .drop('18:30', 2000, { latitude: 43.5, longitude: -116 })
  new Story('BASE2')
    .load('15:00', 2000)
    .flight('15:10', '16:00', 'JUN', 'ALD')
    .flight('16:30', '17:30', 'ALD', 'ALD')
    .drop('17:00', 2000)
  new Story('BASE3')
    .load('15:00', 2000)
    .flight('15:10', '16:00')
    .drop('15:30', 2000)
    .flight('16:30', '17:30', 'ALD', null)
    .drop('17:00', 1500)
    .load('18:00', 2000)
  new Story('BASE4').flight('16:30', '17:30', null, null).drop('17:00', 1500)

  new Story('FIRE1')
    .drop('18:00', 100, { latitude: 43.04, longitude: -115 })
    .drop('18:10', 100, { latitude: 43.005, longitude: -115 })
    .drop('18:20', 100, { latitude: 44.08, longitude: -114 })
    .drop('18:30', 100, { latitude: 44.09, longitude: -114 })
    .drop('18:40', 100, { latitude: 42, longitude: -118 })
    .drop('18:50', 100, { latitude: 43.005, longitude: -115, fire_text: 'USUAL' })
    .drop('18:55', 100, { latitude: 43.005, longitude: -115, fire_text: 'no such fire at all' })

  new Story('FLIGHT1')
    .load('17:00', 2000)
    .flight('18:00', '19:00')
    .drop('17:56:59', 100)
    .drop('17:57', 100)
    .drop('19:03', 100)
    .drop('19:03:01', 100)
  new Story('HOURS1')
    .load('17:00', 2000)
    .flight('18:00', '19:00')
    .drop('18:10', null, { fire_text: 'SPOT' })
    .drop('18:20', null, { fire_text: 'LARGE' })
    .drop('18:30', null, { fire_text: 'LARGE' })
  new Story('HOURS2')
    .load('17:00', 2000)
    .flight('18:00', '19:00')
    .drop('18:10', 500, { fire_text: 'SPOT' })
    .drop('18:20', 1500, { fire_text: 'LARGE' })
    .drop('18:30', 300, { purpose: 'jettison' })

  new Story('DAY1').load('2026-07-05T03:00', 2000).drop('2026-07-05T05:59', 500).drop('2026-07-05T06:00', 500)
  new Story('DAY2')
    .flight('2026-07-05T02:00', '2026-07-05T03:00')
    .drop('2026-07-05T04:00', 10, { purpose: 'ground-test' })
  new Story('DAY3').drop('18:00', 500)
  new Story('SEASON1').load('2027-01-10T20:00', 2000).drop('2027-01-10T21:00', 2000)

  new Story('PURPOSE1')
    .load('17:00', 2000)
    .drop('17:30', 40, { purpose: null })
    .drop('17:40', 41, { purpose: null })
    .flight('18:00', '19:00')
    .drop('18:30', 30, { purpose: null })
    .drop('18:40', 900, { purpose: null, is_emergency_release: true })
  new Story('PURPOSE2')
    .load('17:00', 2000)
    .flight('18:00', '19:00')
    .drop('18:30', 2000, { purpose: 'fire', is_emergency_release: true, fluid: 'water' })

  new Story('VOLUME1')
    .load('17:00', 1800)
    .flight('18:00', '19:00')
    .drop('18:10', null, { fraction: 0.5 })
    .drop('18:20', 600)
    .drop('18:30', null, { fraction: 0.5 })
  new Story('VOLUME2').flight('18:00', '19:00').drop('18:10', null, { fraction: 0.25 })
  new Story('VOLUME3')
    .load('17:00', 2000)
    .drop('18:10', 700)
    .drop('18:20', null)
    .load('19:00', 2000, { gauge_before_gal: 100 })
    .drop('19:10', null)
    .drop('19:20', null)
    .load('20:00', 2000, { gauge_before_gal: 100 })
  new Story('VOLUME4')
    .load('17:00', 2000)
    .drop('17:30', null, { fraction: 1, purpose: 'ground-test' })
    .offload('17:40', 2000)
  new Story('EMERGENCY1').drop('18:00', null, { purpose: 'emergency', is_emergency_release: true })
  new Story('EMERGENCY2')
    .load('17:00', 2000)
    .drop('18:00', 500)
    .drop('18:10', null, { purpose: 'emergency', is_emergency_release: true })
    .load('19:00', 2000)
    .drop('20:00', 1000, { purpose: 'emergency', is_emergency_release: true })
    .load('21:00', 2000)

  new Story('RELEASE1')
    .load('17:00', 2000, { gauge_after_gal: 2000 })
    .drop('17:30', 1839)
    .load('18:00', 2000, { gauge_before_gal: 0 })
    .drop('18:30', 1841)
    .load('19:00', 2000, { gauge_before_gal: 0 })
  new Story('RELEASE2')
    .load('17:00', 2000)
    .drop('17:30', 1830)
    .load('18:00', 2000)
    .drop('18:30', 1850)
    .load('19:00', 2000)
  new Story('LOAD1')
    .load('17:00', 2000)
    .drop('17:30', 2000)
    .drop('17:40', 159)
    .load('18:00', 2000)
    .drop('18:30', 2000)
    .drop('18:40', 161)
    .load('19:00', 2000)
  new Story('ANCHOR1')
    .load('17:00', 2000, { gauge_after_gal: 1900 })
    .drop('17:30', 1900)
    .load('18:00', 1500, { gauge_before_gal: 60 })

  new Story('OVER1').load('17:00', 2161).load('18:00', 2159)
  new Story('OVER2').load('17:00', 2000, { gauge_after_gal: 2041 })
  new Story('OVER3')
    .load('17:00', 2000, { gauge_after_gal: 2040 })
    .offload('17:30', 2000)
    .load('18:00', 100, { overflow: 'yes' })

  // Meters: JUN's tickets say 3.1 % more than the gauges, ten times; ALD's 3.1 % more, nine times. Tanks read alike.
  const meter = new Story('METER1')
  for (let n = 0; n < 19; n++) {
    const gauge = {
      gauge_before_gal: 0,
      gauge_after_gal: 1000,
      gauge_gal: 1000,
      volume_gal: 1031,
      meter_gal: 1031,
    }
    const day = `2026-07-${String(5 + n).padStart(2, '0')}`
    meter
      .load(`${day}T18:00`, 1031, {
        ...gauge,
        base_text: n < 10 ? 'JUN' : 'ALD',
        witnesses: ['controller', 'ticket'],
      })
      .drop(`${day}T18:30`, 1000)
  }
  meter
    .load('2026-07-30T18:00', 1031, { meter_gal: 1031 })
    .drop('2026-07-30T18:30', 1000)
    .load('2026-07-30T20:00', 1031, { gauge_gal: 1031 })
    .drop('2026-07-30T20:30', 1000)
    .load('2026-07-31T18:00', 1031, { meter_gal: 1031, base_text: 'ALD' })

  await register(
    w,
    'aircraft',
    names.map((registration) => ({ registration })),
  )
  await register(
    w,
    'tank',
    names.map((name) => ({ serial: `K-${name}`, capacity_gal: 2000, doors: 2 })),
  )
  await register(
    w,
    'mounting',
    names.map((aircraft) => ({ tank: `K-${aircraft}`, aircraft, on_at: '2026-05-01T00:00:00' })),
  )
  await happened(w, 'load', loads)
  await happened(w, 'drop', drops)
  await happened(w, 'flight', flights)
  await happened(w, 'offload', offloads)
  await compute(w)
}, 300_000)
afterAll(() => w.close())

describe('base', () => {
  test('is where the load came from, not the nearest', async () => {
    expect(await dropsOf('BASE1', 'base', 'base_basis')).toEqual([['ALD', 'load']])
  })
  test('is where the flight began, when a landing elsewhere came between', async () => {
    expect(await dropsOf('BASE2', 'base', 'base_basis', 'load')).toEqual([['ALD', 'flight', null]])
  })
  test('is where the flight began, when the tank was empty by the walk', async () => {
    const [, second] = await dropsOf('BASE3', 'base', 'base_basis', 'load')
    expect(second).toEqual(['ALD', 'flight', null])
    expect(await findingsOf('BASE3')).toContain('unrecorded-load')
  })
  test('is unknown, when no load and no place of departure is on record', async () => {
    expect(await dropsOf('BASE4', 'base', 'base_basis')).toEqual([[null, 'unknown']])
  })
})

test('fire: stated, else nearest by distance over radius among active ones within their radius, else none', async () => {
  // 43.04 N is 2.4 NM from SPOT (radius 1) and 12.6 from LARGE (radius 20); 43.005 N is 0.3 and 14.7.
  // A minute of latitude is a nautical mile: 44.08 N is 4.8 NM from USUAL (radius 5, the usual), 44.09 N is 5.4.
  expect(await dropsOf('FIRE1', 'fire', 'fire_basis')).toEqual([
    ['LARGE', 'nearest'],
    ['SPOT', 'nearest'],
    ['USUAL', 'nearest'],
    [null, 'unattributed'],
    [null, 'unattributed'],
    ['USUAL', 'stated'],
    ['SPOT', 'nearest'],
  ])
  const unknown = await w.rows<Row>("SELECT subject FROM account.finding WHERE finding = 'unknown-fire'")
  expect(unknown).toEqual([{ subject: 'fire no such fire at all 2026' }])
  expect(await findingsOf('FIRE1')).toContain('fire-far-from-drop')
})

describe('flight', () => {
  test('holds a drop up to three minutes either way', async () => {
    const flight = 'F-FLIGHT1-20260704T1800'
    expect(await dropsOf('FLIGHT1', 'flight')).toEqual([[null], [flight], [flight], [null]])
    const [row] = await ask(w, 'gallons-by-fire', { aircraft: 'FLIGHT1' })
    expect(row).toMatchObject({
      gallons: 400,
      gallons_without_flight: 200,
      gallons_per_flight_hour: near(200),
    })
  })
  test('shares its hour by gallons of fire drops, equally when no volume is known', async () => {
    expect(await dropsOf('HOURS1', 'flight_hours')).toEqual([[near(1 / 3)], [near(1 / 3)], [near(1 / 3)]])
    expect(await dropsOf('HOURS2', 'flight_hours')).toEqual([[near(0.25)], [near(0.75)], [0]])
  })
})

describe('operating day and season', () => {
  test('is the local date where it was loaded', async () => {
    // Boise is UTC-6 in July.
    expect(await dropsOf('DAY1', 'operating_day')).toEqual([['2026-07-04'], ['2026-07-05']])
  })
  test('else of the base that the aircraft was last known at', async () => {
    expect(await dropsOf('DAY2', 'operating_day')).toEqual([['2026-07-04']])
  })
  test('else of the home zone, with a finding', async () => {
    expect(await dropsOf('DAY3', 'operating_day')).toEqual([['2026-07-05']])
    expect(await findingsOf('DAY3')).toContain('home-zone-unknown')
  })
  test('a season on record goes before the calendar year', async () => {
    expect(await dropsOf('SEASON1', 'operating_day', 'season')).toEqual([['2027-01-10', '2026-27']])
    expect(await dropsOf('DAY1', 'season')).toEqual([['2026'], ['2026']])
  })
})

describe('purpose', () => {
  test('blank: a ground test without a flight and at most 2 % of the capacity, else a fire drop; assumed', async () => {
    expect(await dropsOf('PURPOSE1', 'purpose', 'is_purpose_assumed')).toEqual([
      ['ground-test', true],
      ['fire', true],
      ['fire', true],
      ['emergency', false],
    ])
  })
  test('an emergency release is counted whatever the purpose; water is no retardant opening', async () => {
    expect(await dropsOf('PURPOSE2', 'purpose', 'is_emergency_release', 'is_retardant_opening')).toEqual([
      ['fire', true, false],
    ])
    const counts = await ask(w, 'tank-cycles', { as_of: '2026-07-31', item: 'K-PURPOSE2' })
    const total = (counter: string) =>
      counts.find((row) => row.item === 'K-PURPOSE2' && row.counter === counter)?.total ?? 0
    expect([total('emergency-releases'), total('openings'), total('retardant-openings')]).toEqual([1, 1, 0])
  })
})

describe('volume that nobody witnessed', () => {
  test('is its share of the load, at most what is left', async () => {
    expect(await dropsOf('VOLUME1', 'volume_gal', 'volume_basis')).toEqual([
      [900, 'fraction'],
      [600, 'witnessed'],
      [300, 'fraction'],
    ])
  })
  test('is its share of the capacity when the load is unknown', async () => {
    expect(await dropsOf('VOLUME2', 'volume_gal', 'volume_basis')).toEqual([[500, 'fraction']])
  })
  test('else what the balance leaves, if it is the only unknown of its cycle; else it stays unknown and counts', async () => {
    expect(await dropsOf('VOLUME3', 'volume_gal', 'volume_basis')).toEqual([
      [700, 'witnessed'],
      [1200, 'balance'],
      [null, null],
      [null, null],
    ])
    const [row] = await ask(w, 'gallons-by-fire', { aircraft: 'VOLUME3' })
    expect(row).toMatchObject({ drops: 4, gallons: 1900, drops_without_volume: 2 })
  })
  test('a ground test never takes a share', async () => {
    expect(await dropsOf('VOLUME4', 'volume_gal', 'volume_basis')).toEqual([[null, null]])
  })
  test('an emergency lets go what was left; without a load on record that is unknown, not nothing', async () => {
    expect(await dropsOf('EMERGENCY1', 'volume_gal', 'volume_basis')).toEqual([[null, null]])
    expect(await dropsOf('EMERGENCY2', 'volume_gal', 'volume_basis')).toEqual([
      [500, 'witnessed'],
      [1500, 'balance'],
      [1000, 'witnessed'],
    ])
  })
})

const cyclesOf = async (aircraft: string, ...fields: string[]): Promise<unknown[][]> =>
  (await w.rows<Row>(`SELECT * FROM account.cycle WHERE tank = 'K-${aircraft}' ORDER BY opened_at`)).map(
    (row) => fields.map((field) => row[field]),
  )

describe('tank balance', () => {
  test('after an emergency the level is 0', async () => {
    expect(await cyclesOf('EMERGENCY2', 'level_at_close_gal', 'inferred_openings')).toEqual([
      [0, 0],
      [0, 0],
      [2000, 0],
    ])
  })
  test('re-anchors to the gauge; the residual is positive when fluid left unrecorded', async () => {
    expect(await cyclesOf('ANCHOR1', 'level_after_gal', 'level_at_close_gal', 'residual_gal')).toEqual([
      [1900, 0, -60],
      [1560, 1560, null],
    ])
  })
  test('more than 8 % of the capacity missing is a release, by the gauge and by what does not fit', async () => {
    expect(await cyclesOf('RELEASE1', 'missing_gal', 'inferred_openings', 'residual_gal')).toEqual([
      [161, 1, 161],
      [0, 0, 159],
      [0, 0, null],
    ])
    // 170 left and 2,000 loaded are 170 above the capacity; 150 are not enough.
    expect(await cyclesOf('RELEASE2', 'missing_gal', 'inferred_openings')).toEqual([
      [170, 1],
      [0, 0],
      [0, 0],
    ])
    expect(await findingsOf('RELEASE2')).toEqual(['unrecorded-release'])
  })
  test('a level below −8 % of the capacity is a load that is missing; the level begins at 0 again', async () => {
    expect(await cyclesOf('LOAD1', 'short_gal', 'level_at_close_gal')).toEqual([
      [0, -159],
      [161, 0],
      [0, 2000],
    ])
    expect(await findingsOf('LOAD1')).toContain('unrecorded-load')
  })
  test('overfill: marked, above 102 % on the gauge, or 108 % by the ticket', async () => {
    const over = async (aircraft: string) =>
      (
        await w.rows<Row>(
          `SELECT is_overfill FROM account.load WHERE aircraft = '${aircraft}' ORDER BY loaded_at`,
        )
      ).map((row) => row.is_overfill)
    expect(await over('OVER1')).toEqual([true, false])
    expect(await over('OVER2')).toEqual([true])
    expect(await over('OVER3')).toEqual([false, true])
  })
})

test('meter bias: applied from ten pairs on, rounded to half a percent, to tickets only', async () => {
  expect(
    await w.rows<Row>('SELECT base, pairs, bias_pct, applied_pct FROM account.meter_bias ORDER BY base'),
  ).toEqual([
    { base: 'ALD', pairs: 9, bias_pct: near(3.1), applied_pct: 0 },
    { base: 'JUN', pairs: 10, bias_pct: near(3.1), applied_pct: 3 },
  ])
  const rows = await w.rows<Row>(
    "SELECT corrected_gal FROM account.load WHERE aircraft = 'METER1' ORDER BY loaded_at DESC LIMIT 3",
  )
  expect(rows.map((row) => row.corrected_gal)).toEqual([1031, 1031, near(1031 / 1.03)])
})
