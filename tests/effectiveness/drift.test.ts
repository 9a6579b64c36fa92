import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { assess } from '../../src/effectiveness/index.ts'
import { median, random } from '../../src/statistics/index.ts'
import { moment, only, Room, register } from './fixture.ts'

let room: Room

/** So many tanks of each kind, all with a noise of 3 %: steady ones, a step of 3 %, a ramp of 1 % per 20 drops, each from drop 100 on. */
const tanks = 120
const drops = 220
const from = 100
const kinds = {
  steady: () => 0,
  step: (k: number) => (k < 0 ? 0 : 3),
  ramp: (k: number) => (k < 0 ? 0 : (k + 1) / 20),
} as const

const id = (tank: string, index: number): string => `${tank}-${String(index).padStart(3, '0')}`

async function fill(tank: string, errors: readonly number[]): Promise<void> {
  const at = errors.map((_, index) => Date.parse(`${moment(0, index * 90)}Z`))
  const ids = errors.map((_, index) => id(tank, index))
  const all = <T>(value: T): T[] => errors.map(() => value)
  await room.warehouse.append('ledger.drop', {
    drop: ids,
    aircraft: all(`N-${tank}`),
    dropped_at: at,
    volume_gal: errors.map((error) => 1000 * (1 + error / 100)),
    commanded_gal: all(1000),
    coverage_level: all(4),
    fraction: all(0.5),
    is_measured: all(true),
    is_recorded: all(true),
    is_excluded: all(false),
  })
  await room.warehouse.append('account.drop', {
    drop: ids,
    aircraft: all(`N-${tank}`),
    dropped_at: at,
    tank: all(tank),
    operating_day: at.map((ms) => Math.floor(ms / 86_400_000)),
    season: all('2026'),
    volume_gal: errors.map((error) => 1000 * (1 + error / 100)),
    purpose: all('fire'),
    is_command_above_level: all(false),
    is_emergency_release: all(false),
  })
}

beforeAll(async () => {
  room = await Room.open()
  for (const [kind, drift] of Object.entries(kinds)) {
    for (let number = 0; number < tanks; number++) {
      const draw = random(`${kind} ${number}`)
      await fill(
        `${kind}-${number}`,
        Array.from({ length: drops }, (_, index) => 1 + 3 * draw.normal() + drift(index - from)),
      )
    }
  }
  const draw = random('wild and adjusted')
  await fill(
    'wild',
    Array.from({ length: drops }, (_, index) => (index === 120 ? 60 : 2 * draw.normal())),
  )
  await fill(
    'adjusted',
    Array.from({ length: 160 }, (_, index) => 2 * draw.normal() + (index >= 80 && index < 120 ? -7 : 0)),
  )
  await register(room.warehouse, 'adjustment', [
    {
      tank: 'adjusted',
      adjusted_at: moment(0, 120 * 90 - 45),
      subject: 'door-1',
      before: '4 mm',
      after: '2 mm',
    },
    {
      tank: 'adjusted',
      adjusted_at: moment(0, 120 * 90 - 45),
      subject: 'door-2',
      before: '4 mm',
      after: '2 mm',
    },
  ])
  await assess(room.warehouse)
})
afterAll(() => room.close())

/** Drops from the start of the drift to the alarm, of the tanks that had no alarm before it. */
async function delays(kind: string): Promise<number[]> {
  const alarms = await room.ask('drift-alarms')
  const found: number[] = []
  for (let number = 0; number < tanks; number++) {
    const alarm = alarms.find((one) => one.tank === `${kind}-${number}`)
    if (!alarm) found.push(Number.POSITIVE_INFINITY)
    else {
      const index = Number(String(alarm.alarm_drop).slice(-3))
      if (index >= from) found.push(index - from + 1)
    }
  }
  return found
}

describe('on simulated tanks with a noise of 3 %', () => {
  test('a step of 3 % alarms within 15 drops in the median', async () => {
    const found = await delays('step')
    expect(found.length).toBeGreaterThan(tanks * 0.7)
    expect(median(found)).toBeLessThanOrEqual(15)
  })

  test('a ramp of 1 % per 20 drops alarms within 50 drops in the median', async () => {
    expect(median(await delays('ramp'))).toBeLessThanOrEqual(50)
  })

  test('steady tanks alarm less than once in 500 drops', async () => {
    const points = await room.ask('control-chart')
    const alarmed = new Set<unknown>()
    let watched = 0
    for (const point of points) {
      if (!String(point.tank).startsWith('steady') || point.ewma_pct === null || alarmed.has(point.tank))
        continue
      watched++
      if (point.is_alarm) alarmed.add(point.tank)
    }
    expect(watched).toBeGreaterThan(15_000)
    expect(alarmed.size / watched).toBeLessThan(1 / 500)
  })

  test('the likely start of a step lies in the interval given for nine tanks of ten', async () => {
    const alarms = (await room.ask('drift-alarms')).filter(
      (one) => String(one.tank).startsWith('step') && Number(String(one.alarm_drop).slice(-3)) >= from,
    )
    const held = alarms.filter(
      (one) =>
        Number(String(one.change_low_drop).slice(-3)) <= from &&
        from <= Number(String(one.change_high_drop).slice(-3)),
    )
    expect(held.length / alarms.length).toBeGreaterThan(0.9)
  })
})

test('one wild drop does not alarm', async () => {
  expect(await room.ask('drift-alarms', { tank: 'wild' })).toEqual([])
})

test('an adjustment of two doors at once begins one new run, and its effect is told', async () => {
  const [alarm, ...more] = await room.ask('drift-alarms', { tank: 'adjusted' })
  expect(more).toEqual([])
  expect(alarm).toMatchObject({ direction: 'low', run: 1, adjusted_at: `${moment(0, 120 * 90 - 45)}Z` })
  const start = Number(String(alarm!.from_drop).slice(-3))
  expect(Math.abs(start - 80)).toBeLessThan(6)
  const runs = new Set((await room.ask('control-chart', { tank: 'adjusted' })).map((point) => point.run))
  expect([...runs]).toEqual([1, 2])
  const [effect] = await room.ask('adjustment-effect', { tank: 'adjusted' })
  expect(only([effect] as never, 'subject', 'drops_after', 'verdict')).toEqual([
    ['door-1; door-2', 40, 'closer to the setting'],
  ])
  expect(effect!.low_pct).toBeLessThan(7)
  expect(effect!.high_pct).toBeGreaterThan(7)
  expect(effect!.before_basis).toBe('since the change')
})

test('a filter chooses what is shown, not what the chart is made of', async () => {
  const whole = await room.ask('control-chart', { tank: 'adjusted' })
  const part = await room.ask('control-chart', { tank: 'adjusted', from: '2026-06-05' })
  expect(part.length).toBeGreaterThan(0)
  expect(part.length).toBeLessThan(whole.length)
  expect(part).toEqual(whole.filter((point) => part.some((one) => one.drop === point.drop)))
})

test('only tanks whose settings or adjustments changed are charted again, and the result is that of everything', async () => {
  const w = room.warehouse
  const all = (): Promise<unknown[]> =>
    w.rows('SELECT * FROM effectiveness.control_point ORDER BY tank, dropped_at, "drop"')
  await w.run(`UPDATE ledger."drop" SET commanded_gal = 990 WHERE "drop" = '${id('steady-3', 150)}'`)
  await w.run(`UPDATE effectiveness.control_point SET aircraft = 'kept' WHERE tank = 'steady-4'`)
  await assess(w)
  expect(
    await w.rows(
      `SELECT DISTINCT tank, aircraft FROM effectiveness.control_point WHERE tank IN ('steady-3', 'steady-4') ORDER BY tank`,
    ),
  ).toEqual([
    { tank: 'steady-3', aircraft: 'N-steady-3' },
    { tank: 'steady-4', aircraft: 'kept' },
  ])
  await w.run(`UPDATE effectiveness.control_point SET aircraft = 'N-steady-4' WHERE tank = 'steady-4'`)
  const step = await all()
  await w.run('DELETE FROM effectiveness.mark')
  await assess(w)
  expect(await all()).toEqual(step)
})
