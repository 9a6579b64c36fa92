import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { wilson } from '../../src/statistics/index.ts'
import { type Fields, happened, moment, only, put, Room, register } from './fixture.ts'

let room: Room

const aircraft = 'N801ZY'

/** Full tank before each drop, so that no command is above the level. */
async function dropped(rows: readonly Fields[]): Promise<void> {
  for (const [index, row] of rows.entries()) {
    const days = Number(row.day ?? index)
    const { day: _day, ...fields } = row
    await happened(room.warehouse, 'load', [
      { aircraft, loaded_at: moment(days, -40), volume_gal: 3000, base_text: 'JUN', fluid: 'retardant' },
    ])
    await happened(room.warehouse, 'drop', [
      {
        aircraft,
        dropped_at: moment(days),
        purpose: 'fire',
        volume_gal: 3000,
        is_measured: true,
        is_recorded: true,
        witnesses: ['controller'],
        ...fields,
      },
    ])
  }
}

beforeAll(async () => {
  room = await Room.open()
  const w = room.warehouse
  await put(w, 'raw.setting', [{ name: 'home_zone', value: 'America/Denver' }])
  await register(w, 'aircraft', [{ registration: aircraft, class: 'large', max_load_gal: 3000 }])
  await register(w, 'base', [
    { code: 'JUN', name: 'Juniper Flat', zone: 'America/Denver', latitude: 43, longitude: -115 },
  ])
  await register(w, 'tank', [
    {
      serial: 'T-1',
      capacity_gal: 3000,
      doors: 4,
      flow: 'gravity',
      peak_flow_gal_s: 1200,
      pattern_width_ft: 60,
    },
  ])
  await register(w, 'mounting', [{ tank: 'T-1', aircraft, on_at: '2026-01-01' }])
  await register(w, 'fire', [
    {
      number: 'F-1',
      name: 'Alder',
      fuel: 'brush',
      started_at: '2026-06-01',
      ended_at: '2026-07-30',
      latitude: 43.2,
      longitude: -115.2,
    },
  ])
  await dropped([
    {
      volume_gal: 2910,
      commanded_gal: 3000,
      coverage_level: 4,
      fraction: 1,
      record: '1',
      height_ft: 220,
      fire_text: 'F-1',
    },
    {
      volume_gal: 2940,
      commanded_gal: 3000,
      coverage_level: 4,
      fraction: 1,
      record: '2',
      height_ft: 200,
      fire_text: 'F-1',
    },
    // Told by the crew: measures nothing.
    {
      volume_gal: 2000,
      commanded_gal: 3000,
      coverage_level: 4,
      fraction: 1,
      is_measured: false,
      witnesses: ['crew'],
      is_recorded: false,
    },
    // Asked for more than the tank held.
    { volume_gal: 2990, commanded_gal: 3600, coverage_level: 4, fraction: 1, record: '4' },
    { volume_gal: 3000, commanded_gal: null, coverage_level: 2, is_emergency_release: true, record: '5' },
    { volume_gal: 3030, commanded_gal: 3000, coverage_level: 6, fraction: 1, record: '6', height_ft: 140 },
  ])
  const seen = (days: number, minutes: number, more: Fields): Fields => ({
    assessed_at: moment(days, minutes),
    aircraft,
    objective: 'delay',
    met_fire: 'yes',
    effective: 'yes',
    ...more,
  })
  await register(w, 'assessment', [
    seen(0, 10, { record: '1', fuel: 'F 5', line_ft: 1000 }),
    seen(1, 20, { record: '2', met_fire: 'no', effective: 'unknown' }),
    seen(2, 29, { fuel: 'grass' }),
    // No drop within 30 minutes before.
    seen(3, 31, { objective: 'halt', met_fire: 'unknown', effective: 'unknown' }),
    // A second observer of the first drop, who could not tell.
    seen(0, 15, { record: '1', met_fire: 'unknown', effective: 'unknown', fuel: 'F 5' }),
  ])
  await room.compute()
})
afterAll(() => room.close())

describe('setting accuracy', () => {
  test('has measured drops with a command that the tank could give, and an interval where there are two', async () => {
    const rows = await room.ask('setting-accuracy')
    expect(only(rows as never, 'tank', 'coverage_level', 'fraction', 'drops', 'is_small')).toEqual([
      ['T-1', 4, 1, 2, true],
      ['T-1', 6, 1, 1, true],
    ])
    // Errors of -3 % and -2 %: mean -2.5 %, t of 1 degree of freedom 12.7062, standard error 0.5 %.
    expect(rows[0]!.bias_pct).toBeCloseTo(-2.5, 12)
    expect(rows[0]!.low_pct).toBeCloseTo(-2.5 - 12.7062 * 0.5, 3)
    expect(rows[0]!.high_pct).toBeCloseTo(-2.5 + 12.7062 * 0.5, 3)
    expect([rows[1]!.bias_pct, rows[1]!.low_pct, rows[1]!.high_pct]).toEqual([
      expect.closeTo(1, 12),
      null,
      null,
    ])
  })
})

describe('outcome rates', () => {
  test('count a drop once, and an unknown in no rate', async () => {
    const rows = await room.ask('outcome-rates')
    expect(
      only(
        rows as never,
        'group_name',
        'assessed',
        'met_fire',
        'met_unknown',
        'effective',
        'not_effective',
        'effective_unknown',
      ),
    ).toEqual([
      ['delay', 3, 2, 0, 2, 0, 1],
      ['halt', 1, 0, 1, 0, 0, 1],
    ])
    const two = wilson(2, 3)!
    expect(rows[0]!.interaction_rate).toBeCloseTo(2 / 3, 14)
    expect(rows[0]!.interaction_low).toBeCloseTo(two.low, 14)
    expect(rows[0]!.interaction_high).toBeCloseTo(two.high, 14)
    expect(rows[0]!.success_rate).toBe(1)
  })

  test('are null where nothing is known', async () => {
    const [, halt] = await room.ask('outcome-rates')
    expect([
      halt!.interaction_rate,
      halt!.interaction_low,
      halt!.interaction_high,
      halt!.success_rate,
      halt!.success_low,
    ]).toEqual([null, null, null, null, null])
  })

  test.each([
    ['coverage', ['4', 'unknown']],
    ['class', ['large']],
    ['height', ['200 to 249 ft', 'unknown']],
    ['fuel', ['F 5', 'grass', 'brush', 'unknown']],
  ])('by %s', async (by, groups) => {
    const rows = await room.ask('outcome-rates', { by })
    expect(rows.map((row) => row.group_name).sort()).toEqual([...groups].sort())
  })

  test('refuse groups that there are not, and name those that there are', async () => {
    await expect(room.ask('outcome-rates', { by: 'colour' })).rejects.toThrow(
      /no groups by colour; take objective, class/,
    )
  })

  test('an assessment that fits no drop is a finding', async () => {
    expect(only((await room.findings('assessment-without-drop')) as never, 'severity', 'message')).toEqual([
      [
        'note',
        `the assessment of ${aircraft} fits no drop on record: no fire drop of the aircraft within 30 min before`,
      ],
    ])
  })

  test('two groups are compared, with nothing to say where one is empty', async () => {
    const rows = await room.ask('outcome-comparison', { by: 'fuel', one: 'F 5', other: 'grass' })
    expect(
      only(rows as never, 'rate', 'yes', 'known', 'against_yes', 'against_known', 'difference', 'is_small'),
    ).toEqual([
      ['interaction', 1, 1, 1, 1, 0, true],
      ['success', 1, 1, 1, 1, 0, true],
    ])
    const [empty] = await room.ask('outcome-comparison', { one: 'halt' })
    expect([empty!.known, empty!.difference, empty!.low]).toEqual([0, null, null])
  })
})

test('coverage for the fuel takes the observer before the fire, and shows a difference', async () => {
  const rows = await room.ask('coverage-for-fuel', { fire: 'F-1' })
  expect(only(rows as never, 'fuel', 'recommended', 'coverage_level', 'drops', 'difference')).toEqual([
    ['brush', '3 to >6', 4, 1, 0],
    ['f 5', '3', 4, 1, 1],
  ])
})

test('line built: the bound, and what observers saw', async () => {
  const [fire] = await room.ask('line-built', { fire: 'F-1' })
  // 100 · (2910 + 2940) / (4 · 60)
  expect(fire!.bound_ft).toBeCloseTo(2437.5, 9)
  expect(fire!.bound_chains).toBeCloseTo(2437.5 / 66, 9)
  expect([fire!.observed_drops, fire!.observed_ft]).toEqual([1, 1000])
  expect(fire!.observed_of_bound).toBeCloseTo(1000 / 1212.5, 12)
})

describe('heights', () => {
  test('below the class minimum and below the formula are shown, with the caution', async () => {
    const rows = await room.ask('safe-height')
    // 101 + 0.0112 · 2940 + 0.0202 · 1200 + 50 = 208.168, and 209.176 for 3030 gal.
    expect(only(rows as never, 'rule', 'height_ft', 'minimum_ft')).toEqual([
      ['formula', 140, expect.closeTo(209.176, 9)],
      ['large', 140, 150],
      ['formula', 200, expect.closeTo(208.168, 9)],
    ])
    const rules = await room.ask('safe-height-by-aircraft')
    expect(only(rules as never, 'rule', 'below', 'lowest_ft', 'largest_short_ft')).toEqual([
      ['formula', 2, 140, expect.closeTo(69.176, 9)],
      ['large', 1, 140, 10],
    ])
    for (const one of rules) expect(Number(one.below)).toBeLessThanOrEqual(Number(one.heights))
    for (const one of await room.findings('below-safe-height')) {
      expect(one.severity).toBe('note')
      expect(one.message).toContain('local rules')
    }
  })
})
