import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { cycleTime, gallonsPerHour, type Turnarounds } from '../../src/effectiveness/cycle-time.ts'
import { random } from '../../src/statistics/index.ts'
import { type Fields, happened, only, put, Room, register } from './fixture.ts'

/** 5 min of fill, 3 on scene, 4 of ground, 6 more for climb and descent on the legs, 240 kt: minutes = 18 + distance / 2. */
function turnarounds(count: number, noise: number): Turnarounds {
  const draw = random('turnarounds')
  const column = (of: (i: number) => number): Float64Array =>
    Float64Array.from({ length: count }, (_, i) => of(i))
  const distance = column((i) => 20 + (60 * i) / count)
  const out = column((i) => 3 + distance[i]! / 4 + noise * draw.normal())
  const back = column((i) => 3 + distance[i]! / 4 + noise * draw.normal())
  const hold = column((i) => (i % 3) * 10)
  return {
    base: 'JUN',
    hold_min: hold,
    fill_min: column(() => 5),
    out_min: out,
    scene_min: column(() => 3),
    back_min: back,
    turnaround_min: column((i) => 12 + hold[i]! + out[i]! + back[i]!),
    gallons: column(() => 3000),
    distance_nm: distance,
  }
}

describe('the curve that the times of a base imply', () => {
  test('is found again, holding left out', () => {
    const cycle = cycleTime(turnarounds(60, 0))!
    expect(cycle.minutes_per_nm).toBeCloseTo(0.5, 9)
    expect(cycle.fixed_min).toBeCloseTo(18, 9)
    // At 40 NM a turnaround takes 38 min.
    expect(gallonsPerHour(cycle, 40)).toBeCloseTo((60 * 3000) / 38, 6)
    expect(gallonsPerHour(cycle, 30)).toBeCloseTo((60 * 3000) / 33, 6)
    expect(gallonsPerHour(cycle, 40, 5)).toBeCloseTo((60 * 3000) / 33, 6)
  })

  test('is not moved by a wild leg, and its interval holds the truth', () => {
    const times = turnarounds(80, 1)
    times.out_min[5] = 400
    times.turnaround_min[5] = 12 + times.hold_min[5]! + 400 + times.back_min[5]!
    const cycle = cycleTime(times)!
    expect(cycle.minutes_per_nm).toBeCloseTo(0.5, 1)
    expect(cycle.low_per_nm!).toBeLessThan(0.5)
    expect(cycle.high_per_nm!).toBeGreaterThan(0.5)
  })

  test('is not drawn from too few, nor from times that do not grow with distance', () => {
    expect(cycleTime(turnarounds(9, 0))).toBeNull()
    const flat = turnarounds(30, 0)
    flat.out_min.fill(20)
    flat.back_min.fill(20)
    expect(cycleTime(flat)).toBeNull()
  })
})

describe('answers of a base', () => {
  let room: Room
  const aircraft = 'N801ZY'
  const at = (day: number, minutes: number, year = 2026): string =>
    new Date(Date.UTC(year, 6, 1 + day, 17) + minutes * 60_000).toISOString().slice(0, 19)

  /** Twelve days of three loads: each drops 2,900 gal on a fire 30 to 63 NM north of the base. */
  async function season(year: number, gallons: number): Promise<void> {
    const loads: Fields[] = []
    const drops: Fields[] = []
    const flights: Fields[] = []
    for (let day = 0; day < 12; day++) {
      const distance = 30 + day * 3
      const leg = 4 + distance / 4
      const whole = 8 + 2 * leg + 6
      for (let turn = 0; turn < 4; turn++) {
        const start = turn * whole
        loads.push({
          aircraft,
          started_at: at(day, start - 6, year),
          loaded_at: at(day, start, year),
          base_text: 'JUN',
          volume_gal: 2950,
          target_gal: 3000,
          overflow: day === 0 && turn === 0 ? 'yes' : 'no',
          witnesses: ['ticket'],
        })
        if (turn === 3) continue
        flights.push({
          aircraft,
          off_at: at(day, start + 4, year),
          on_at: at(day, start + 4 + 2 * leg, year),
        })
        drops.push({
          aircraft,
          dropped_at: at(day, start + 4 + leg, year),
          purpose: 'fire',
          volume_gal: gallons + 10 * (turn - 1),
          latitude: 43 + distance / 60.0405,
          longitude: -115,
          coverage_level: 4,
        })
      }
    }
    await happened(room.warehouse, 'load', loads)
    await happened(room.warehouse, 'drop', drops)
    await happened(room.warehouse, 'flight', flights)
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
      { serial: 'T-1', capacity_gal: 3000, doors: 4, flow: 'constant', pattern_width_ft: 80 },
    ])
    await register(w, 'mounting', [{ tank: 'T-1', aircraft, on_at: '2025-01-01' }])
    await season(2025, 2700)
    await season(2026, 2900)
    await room.compute()
  })
  afterAll(() => room.close())

  test('productivity: what 10 NM or a faster fill would give', async () => {
    const [base] = await room.ask('productivity', { season: '2026' })
    expect(base).toMatchObject({ base: 'JUN', name: 'Juniper Flat', turnarounds: 36, fitted: 36 })
    expect(base!.speed_kt).toBeCloseTo(240, 0)
    expect(base!.distance_nm).toBeCloseTo(46.5, 1)
    // A turnaround without holding: 8 + 6 - 4 of hold + 2 legs, at 46.5 NM 10 + 8 + 23.25 min.
    expect(base!.curve_gallons_per_hour).toBeCloseTo((60 * 2900) / 41.25, -1)
    expect(base!.nearer_gain).toBeCloseTo((60 * 2900) / 36.25 - (60 * 2900) / 41.25, -1)
    expect(base!.faster_gain).toBeCloseTo((60 * 2900) / 36.25 - (60 * 2900) / 41.25, -1)
    const curve = await room.ask('productivity-curve', { season: '2026' })
    expect(curve.map((row) => row.turnarounds)).toEqual([0, 0, 0, 12, 9, 9, 6])
    expect(curve.at(-1)!.gallons_per_hour as number).toBeLessThan(curve[3]!.gallons_per_hour as number)
  })

  test('fill accuracy: loaded against target, overflows counted', async () => {
    const [row] = await room.ask('fill-accuracy', { season: '2026', by: 'base' })
    expect(only([row] as never, 'base', 'tank', 'loads', 'with_target', 'overflows')).toEqual([
      ['JUN', null, 48, 48, 1],
    ])
    expect(row!.bias_pct).toBeCloseTo((100 * -50) / 3000, 9)
    expect(row!.mean_error_gal).toBeCloseTo(-50, 9)
    expect(row!.overflow_rate).toBeCloseTo(1 / 48, 12)
  })

  test('season against season: the same days and aircraft, each with an interval', async () => {
    const rows = await room.ask('season-comparison')
    const of = (measure: string) => rows.find((row) => row.measure === measure)!
    expect(
      only(
        [of('gallons per drop')] as never,
        'season',
        'season_n',
        'against',
        'against_n',
        'is_different',
        'from_day',
        'to_day',
      ),
    ).toEqual([['2026', 36, '2025', 36, true, '07-01', '07-12']])
    expect(of('gallons per drop').difference).toBeCloseTo(200, 9)
    expect(of('gallons per mission hour').difference as number).toBeGreaterThan(0)
    expect(of('turnaround').difference).toBeCloseTo(0, 9)
    expect([of('success rate').season_value, of('success rate').difference, of('success rate').low]).toEqual([
      null,
      null,
      null,
    ])
    expect(of('overflow rate')).toMatchObject({ season_value: 1 / 48, is_different: false })
  })
})
