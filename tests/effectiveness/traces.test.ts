import { afterEach, beforeEach, expect, test } from 'vitest'
import { random } from '../../src/statistics/index.ts'
import { type Fields, happened, moment, only, put, Room, register } from './fixture.ts'

let room: Room
const aircraft = 'N803ZY'

beforeEach(async () => {
  room = await Room.open()
  const w = room.warehouse
  await put(w, 'raw.setting', [{ name: 'home_zone', value: 'America/Denver' }])
  await register(w, 'aircraft', [{ registration: aircraft, class: 'large' }])
  await register(w, 'tank', [
    {
      serial: 'T-3',
      capacity_gal: 3000,
      doors: 4,
      flow: 'constant',
      peak_flow_gal_s: 1000,
      pattern_width_ft: 80,
    },
  ])
  await register(w, 'mounting', [{ tank: 'T-3', aircraft, on_at: '2026-01-01' }])
})
afterEach(() => room.close())

async function dropped(rows: readonly (Fields & { day: number })[]): Promise<void> {
  for (const { day, ...row } of rows) {
    await happened(room.warehouse, 'load', [{ aircraft, loaded_at: moment(day, -40), volume_gal: 3000 }])
    await happened(room.warehouse, 'drop', [
      {
        aircraft,
        dropped_at: moment(day),
        purpose: 'fire',
        is_measured: true,
        is_recorded: true,
        witnesses: ['controller'],
        ...row,
      },
    ])
  }
}

let line = 0

interface Shown {
  record: string
  gallons: number
  file?: number
  opens_s?: number
  travel_s?: number
  widest_pct?: number
  groundspeed_kt?: number
}

/** A constant flow of 500 gal/s from 2 s on, at 20 Hz, with a little noise. */
async function traced(shown: readonly Shown[]): Promise<void> {
  for (const one of shown) {
    const draw = random(`${one.record} ${one.gallons} ${line}`)
    const opens = one.opens_s ?? 2
    const length = one.gallons / 500
    const rows = Array.from({ length: Math.ceil((length + 4) * 20) }, (_, i) => {
      const t = i / 20
      const out = Math.min(one.gallons, Math.max(0, (t - opens) * 500))
      const door =
        t < opens || t > opens + length
          ? 0
          : Math.min(one.widest_pct ?? 100, ((t - opens + 0.001) / (one.travel_s ?? 0.2)) * 100)
      line++
      return `(${(one.file ?? 1) * 2 ** 32 + line * 16}, ${one.file ?? 1}, ${line}, 0, 'accepted', '${aircraft}', '${one.record}',
        ${t}, ${3000 - out + 5 * draw.normal()}, ${one.groundspeed_kt ?? 120}, 200, ${door})`
    })
    await room.warehouse.run(
      `INSERT INTO obs.trace(obs_no, file_no, line_no, rec, fate, aircraft, record, t_s, level_gal, groundspeed_kt, height_ft, door_pct)
       VALUES ${rows.join(',')}`,
    )
  }
}

async function file(file_no: number, path: string): Promise<void> {
  await put(room.warehouse, 'raw.file', [
    {
      file_no,
      path,
      sha256: String(file_no),
      bytes: 1,
      arrived_at: '2026-07-01',
      read: 0,
      accepted: 0,
      duplicate: 0,
      superseded: 0,
      quarantined: 0,
      ignored: 0,
    },
  ])
}

test('a trace belongs to the drop with its record, and its figures follow', async () => {
  await dropped([{ day: 0, record: 'A-1', volume_gal: 2000, coverage_level: 4 }])
  await traced([{ record: 'A-1', gallons: 2000 }])
  await room.compute()
  const [one] = await room.ask('traces')
  expect(one).toMatchObject({
    tank: 'T-3',
    record: 'A-1',
    matched_by: 'record',
    status: 'read',
    is_cut: false,
  })
  expect(one!.evacuation_s).toBeCloseTo(4, 1)
  expect(one!.mean_flow_gal_s).toBeCloseTo(500, -1)
  expect(one!.constancy_pct).toBeGreaterThan(96)
  expect(one!.difference_pct).toBeCloseTo(0, 0)
  // 500 gal/s at 120 kt (202.54 ft/s), over 80 ft.
  expect(one!.gallons_per_ft).toBeCloseTo(500 / 202.537, 1)
  expect(one!.coverage_laid).toBeCloseTo((100 * 500) / 202.537 / 80, 1)
  const samples = await room.ask('trace-samples')
  expect(samples.length).toBe(160)
  expect(samples[0]!.t_s).toBeCloseTo(-2, 1)
})

test('record numbers that begin anew each day: the volume tells, the order of arrival does not', async () => {
  await dropped([
    { day: 0, record: '1', volume_gal: 2000 },
    { day: 1, record: '1', volume_gal: 1000 },
  ])
  await traced([
    { record: '1', gallons: 1000 },
    { record: '1', gallons: 2000 },
  ])
  await room.compute()
  expect(only((await room.ask('traces')) as never, 'logged_gal', 'matched_by')).toEqual([
    [2000, 'record and volume'],
    [1000, 'record and volume'],
  ])
})

test('of two drops alike, the day in the name of the file tells; without one the trace stays without a drop', async () => {
  await dropped([
    { day: 0, record: '1', volume_gal: 2000 },
    { day: 9, record: '1', volume_gal: 2000 },
  ])
  await file(2, 'logs/N803ZY-20260602.csv')
  await traced([{ record: '1', gallons: 2000, file: 2 }])
  await room.compute()
  expect(only((await room.ask('traces')) as never, 'dropped_at')).toEqual([['2026-06-01T18:00:00Z']])

  await traced([{ record: '1', gallons: 2000, file: 3 }])
  await room.compute()
  const found = await room.findings('trace-without-drop')
  expect(found.map((one) => one.severity)).toEqual(['note'])
  expect(found[0]!.message).toContain('fits no drop on record, or two about as well')
})

test('a trace that disagrees with the record is a finding', async () => {
  await dropped([{ day: 0, record: 'A-1', volume_gal: 2300 }])
  await traced([{ record: 'A-1', gallons: 2000 }])
  await room.compute()
  const [one] = await room.findings('trace-volume')
  expect(one!.message).toMatch(
    /^the trace shows (1,99\d|2,00\d) gal leaving the tank, the record says 2,300 gal$/,
  )
})

test('doors that open late, slowly or partly are found against what the tank usually does', async () => {
  const usual = Array.from({ length: 6 }, (_, i) => ({ record: `U-${i}`, gallons: 1000 }))
  const odd: Shown[] = [
    { record: 'late', gallons: 1000, opens_s: 2.8 },
    { record: 'slow', gallons: 1000, travel_s: 1 },
    { record: 'partly', gallons: 1000, widest_pct: 60 },
  ]
  const all: Shown[] = [...usual, ...odd]
  await dropped(all.map((one, day) => ({ day, record: one.record, volume_gal: 1000, coverage_level: 4 })))
  await traced(all)
  await room.compute()
  const late = await room.findings('door-late')
  expect(late.map((one) => String(one.message).replace(/ \(.*/, ''))).toEqual([
    expect.stringMatching(/^the doors began to open 2\.\d s into the record/),
    expect.stringMatching(/^the doors took 0\.[89] s to open; this tank's usually take 0\.[12] s$/),
  ])
  expect((await room.findings('door-partly')).map((one) => one.message)).toEqual([
    "the doors opened to 60 %; this tank's usually open to 100 % at that setting",
  ])
})

test('a drop measured by its trace alone counts in setting accuracy', async () => {
  await dropped([
    {
      day: 0,
      record: 'A-1',
      volume_gal: null,
      commanded_gal: 2100,
      coverage_level: 4,
      fraction: 0.7,
      is_measured: false,
    },
  ])
  await traced([{ record: 'A-1', gallons: 2000 }])
  await room.compute()
  const [one] = await room.ask('setting-accuracy')
  expect(one!.drops).toBe(1)
  expect(one!.bias_pct).toBeCloseTo(100 * (2000 / 2100 - 1), 0)
})

test('the same samples give the same figures to the last bit when they are read again', async () => {
  await dropped([{ day: 0, record: 'A-1', volume_gal: 2000 }])
  await traced([{ record: 'A-1', gallons: 2000 }])
  await room.compute()
  const first = await room.warehouse.rows('SELECT * FROM effectiveness.trace')
  await room.warehouse.run('DELETE FROM effectiveness.mark')
  await room.compute()
  expect(await room.warehouse.rows('SELECT * FROM effectiveness.trace')).toEqual(first)
})
