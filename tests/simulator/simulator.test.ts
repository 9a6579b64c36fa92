import { mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { gunzipSync } from 'node:zlib'
import { readSheet } from 'read-excel-file/node'
import { describe, expect, test } from 'vitest'
import { writeLargeDropLog } from './large-log.ts'
import { amountCents, cents, hoursHalfUp } from './money.ts'
import { ordinaryMess } from './options.ts'
import { sampleOptions } from './sample-season.ts'
import { simulate } from './simulate.ts'
import { expected } from './worked-answers.ts'
import { workedExampleFiles } from './worked-example.ts'

const clean = simulate({ seed: 11 })
const messy = simulate({ seed: 11, mess: ordinaryMess })
const total = (values: readonly number[]): number => values.reduce((sum, one) => sum + one, 0)

describe('a season', () => {
  test('is the same, byte for byte, for the same seed and another for another', () => {
    const again = simulate({ seed: 11, mess: ordinaryMess })
    expect(again.files.map((file) => file.path)).toEqual(messy.files.map((file) => file.path))
    for (const [index, file] of again.files.entries())
      expect(Buffer.compare(file.bytes, messy.files[index]!.bytes), file.path).toBe(0)
    expect(simulate({ seed: 12 }).truth.drops).not.toEqual(clean.truth.drops)
  })

  test('never releases more than the tank holds, nor fills it above its capacity', () => {
    const capacity = new Map(clean.truth.world.tanks.map((tank) => [tank.serial, tank.capacity_gal]))
    for (const drop of clean.truth.drops) expect(drop.volume_gal).toBeLessThanOrEqual(drop.level_gal)
    for (const load of clean.truth.loads)
      expect(load.gauge_after_gal).toBeLessThanOrEqual(capacity.get(load.tank)!)
  })

  test('keeps every gallon of every tank: loaded = dropped + offloaded, since all end empty', () => {
    for (const { serial } of clean.truth.world.tanks) {
      const of = (events: readonly { tank: string; volume_gal: number }[]): number =>
        total(events.filter((event) => event.tank === serial).map((event) => event.volume_gal))
      expect(of(clean.truth.loads)).toBe(of(clean.truth.drops) + of(clean.truth.offloads))
    }
  })

  test('has a tank in one airframe at a time, and tanks that move between airframes', () => {
    const { mountings, tanks } = clean.truth.world
    for (const { serial } of tanks) {
      const own = mountings.filter((one) => one.tank === serial).sort((a, b) => a.on - b.on)
      for (let index = 1; index < own.length; index++)
        expect(own[index - 1]!.off).toBeLessThanOrEqual(own[index]!.on)
    }
    const homes = new Set(mountings.map((one) => `${one.tank} ${one.aircraft}`))
    expect(homes.size).toBeGreaterThan(tanks.length)
  })

  test('makes every airborne release inside one flight of its aircraft', () => {
    const flights = new Map(clean.truth.flights.map((flight) => [flight.id, flight]))
    for (const drop of clean.truth.drops.filter((one) => one.purpose !== 'ground-test')) {
      const flight = flights.get(drop.flight!)!
      expect(flight.aircraft).toBe(drop.aircraft)
      expect(drop.at >= flight.off && drop.at <= flight.on).toBe(true)
    }
  })
})

describe('the answers in truth', () => {
  const { answers, drops, flights } = clean.truth
  test('add up: fires, bases and days to the same gallons, hours to all airborne hours', () => {
    const gallons = total(drops.filter((drop) => drop.purpose === 'fire').map((drop) => drop.volume_gal))
    const hours = total(flights.map((flight) => flight.airborne_hours))
    expect(total(answers.gallonsByFire.map((row) => row.gallons))).toBe(gallons)
    expect(total(answers.gallonsByBase.map((row) => row.gallons))).toBe(gallons)
    expect(total(answers.gallonsByDay.map((row) => row.gallons))).toBe(gallons)
    expect(total(answers.hoursByFire.map((row) => row.flight_hours))).toBeCloseTo(hours, 9)
    expect(total(answers.gallonsByBase.map((row) => row.flight_hours))).toBeCloseTo(hours, 9)
  })

  test('count each opening once for the tank and once for each door that it moved', () => {
    const row = (item: string, counter: string) =>
      answers.tankCycles.find((one) => one.item === item && one.counter === counter)?.happened ?? 0
    for (const { serial } of clean.truth.world.tanks) {
      const own = drops.filter((drop) => drop.tank === serial)
      expect(row(serial, 'openings')).toBe(total(own.map((drop) => drop.openings)))
      const doors = clean.truth.world.fittings.filter(
        (one) => one.tank === serial && one.component.startsWith('DR-'),
      )
      const cycles = total(
        [...new Set(doors.map((one) => one.component))].map((one) => row(one, 'door-cycles')),
      )
      expect(cycles).toBe(total(own.map((drop) => drop.openings * drop.doors.length)))
    }
  })
})

describe('the files', () => {
  test('of a clean season hold every event once per witness', () => {
    const told = (kind: string, witness: string) =>
      clean.truth.lines.filter((line) => line.kind === kind && line.witness === witness).length
    expect(told('drop', 'controller')).toBe(clean.truth.drops.length)
    expect(told('load', 'ticket')).toBe(clean.truth.loads.length)
    expect(told('flight', 'tracker')).toBe(clean.truth.flights.length)
    expect(Object.values(clean.truth.fates).every((one) => !one || one.read === one.accepted)).toBe(true)
  })

  test('conserve rows: read = accepted + duplicate + superseded + quarantined, some of each in a messy season', () => {
    const all = Object.values(messy.truth.fates).filter((one) => one !== null)
    for (const one of all)
      expect(one.accepted + one.duplicate + one.superseded + one.quarantined).toBe(one.read)
    expect(total(all.map((one) => one.duplicate))).toBeGreaterThan(100)
    expect(total(all.map((one) => one.superseded))).toBeGreaterThan(0)
  })

  test('say on the line that truth names what truth says', () => {
    const line = clean.truth.lines.find((one) => one.path.endsWith('.jsonl.gz') && one.kind === 'drop')!
    const file = clean.files.find((one) => one.path === line.path)!
    const row = JSON.parse(gunzipSync(file.bytes).toString().split('\n')[line.line - 1]!)
    const drop = clean.truth.drops.find((one) => one.id === line.of[0])!
    expect(row.t_ms / 1000).toBe(drop.at)
    expect(row.vol_l / 3.785411784).toBeCloseTo(drop.volume_gal, 9)
  })

  test('that are workbooks open as workbooks', async () => {
    const file = clean.files.find((one) => one.path.endsWith('.xlsx'))!
    const rows = await readSheet(Buffer.from(file.bytes), 'Drops')
    expect(rows[2]?.slice(0, 3)).toEqual(['When PT', 'A/C', 'Fire'])
    expect(rows.length).toBe(3 + file.fates!.read)
  })
})

describe('the mess', () => {
  test('leaves no more than a few events without any witness', () => {
    const { drops, unrecorded } = messy.truth
    expect(unrecorded.length / drops.length).toBeLessThan(0.02)
  })

  test('turns a planned clock fault into late lines on those days only', () => {
    const fault = {
      witness: 'crew',
      aircraft: 'N801ZY',
      from_day: '2026-06-01',
      to_day: '2026-07-15',
    } as const
    const { truth } = simulate({ seed: 3, mess: { clock_faults: [{ ...fault, offset_min: 60 }] } })
    const own = truth.clockOffsets.filter((one) => one.witness === 'crew' && one.aircraft === 'N801ZY')
    expect(own.some((one) => one.day > fault.to_day)).toBe(true)
    for (const { day, offset_min } of own) expect(offset_min).toBe(day <= fault.to_day ? 60 : 0)
  })

  test('makes a tank miss its commands by the planned step until it is adjusted', () => {
    const drift = { tank: 0, shape: 'step', size_pct: -10, from_share: 0.3, adjusted_share: 0.7 } as const
    const { truth } = simulate({ seed: 5, dropsPerDay: 20, releaseNoisePct: 1, drifts: [drift] })
    const { tank, from_at, adjusted_at } = truth.drifts[0]!
    const errors = (during: boolean): number[] =>
      truth.drops
        .filter((one) => one.tank === tank && one.commanded_gal !== null)
        .filter((one) => (one.dropped_at >= from_at! && one.dropped_at < adjusted_at!) === during)
        .map((one) => one.volume_gal / one.commanded_gal! - 1)
    const mean = (values: number[]): number => total(values) / values.length
    expect(errors(true).length).toBeGreaterThan(20)
    expect(mean(errors(true)) - mean(errors(false))).toBeCloseTo(-0.1, 1)
  })
})

describe('release traces', () => {
  test('flow at the rate that lays the level set, or as fast as the tank can', () => {
    const { truth } = simulate(sampleOptions)
    const drops = new Map(truth.drops.map((drop) => [drop.id, drop]))
    const tanks = new Map(truth.world.tanks.map((tank) => [tank.serial, tank]))
    const laid: number[] = []
    for (const trace of truth.traces) {
      const { coverage_level, groundspeed_kt } = drops.get(trace.drop)!
      const { pattern_width_ft, peak_flow_gal_s } = tanks.get(trace.tank)!
      expect(trace.mean_flow_gal_s).toBeLessThan(peak_flow_gal_s * 1.15)
      // A knot is 1.68781 feet a second.
      const level = trace.mean_flow_gal_s / (groundspeed_kt * 1.68781) / (pattern_width_ft / 100)
      if (trace.tank.startsWith('TX') && coverage_level !== null && coverage_level <= 4)
        laid.push(level / coverage_level)
    }
    expect(laid.length).toBeGreaterThan(20)
    expect(total(laid) / laid.length).toBeCloseTo(0.98, 1)
    expect(Math.max(...laid.map((share) => Math.abs(share - 0.98)))).toBeLessThan(0.16)
  })
})

describe('invoices', () => {
  test('bill right lines right and keep a record of each wrong one', () => {
    const { papers, invoiceErrors } = simulate(sampleOptions).truth
    const wrong = new Set(invoiceErrors.map((one) => `${one.invoice} ${one.line}`))
    for (const line of papers!.lines.filter((one) => !wrong.has(`${one.invoice} ${one.line}`)))
      expect(line.amount).toBe(amountCents(line.unit_price, line.quantity))
    expect(invoiceErrors.length).toBe(13)
    expect(
      invoiceErrors.filter((one) => one.kind === 'duplicate').every((one) => one.supported_amount === '0.00'),
    ).toBe(true)
  })

  test('round money half-up to cents and minutes half-up to tenths', () => {
    expect(cents(amountCents('0.005', 1))).toBe('0.01')
    expect(cents(amountCents('2.985', 1441))).toBe('4301.39')
    expect([2, 3, 8, 9, 57].map((minutes) => hoursHalfUp(minutes, 10))).toEqual([0, 0.1, 0.1, 0.2, 1])
  })
})

describe('a large log', () => {
  test('has the rows asked for, and as many bad ones as it says', () => {
    const folder = mkdtempSync(join(tmpdir(), 'large-log-'))
    try {
      const log = writeLargeDropLog(join(folder, 'drops.csv'), 20_000, { seed: 1 })
      const lines = readFileSync(log.path, 'utf8').trimEnd().split('\n').slice(1)
      expect(lines.length).toBe(20_000)
      expect(statSync(log.path).size).toBe(log.bytes)
      const bad = lines.filter((line) => /N999QX|see ticket|06\/31\/|31 Jun/.test(line)).length
      expect(bad).toBe(log.quarantined)
      expect(bad).toBeGreaterThan(5)
    } finally {
      rmSync(folder, { recursive: true, force: true })
    }
  })
})

describe('the worked example', () => {
  test('has as many rows as its answers say are read, and drops that sum to its volumes', () => {
    const rows = workedExampleFiles.filter((file) => file.path.endsWith('.csv'))
    expect(total(rows.map((file) => file.text.trimEnd().split('\n').length - 1))).toBe(expected.arrivals.read)
    expect(total(expected.drops.map((drop) => drop.volume_gal as number))).toBe(
      total(expected['volume-by-purpose'].map((row) => row.gallons)),
    )
  })
})
