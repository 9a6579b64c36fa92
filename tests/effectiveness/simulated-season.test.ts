import { afterAll, beforeAll, expect, test } from 'vitest'
import { House } from '../house/house.ts'
import { folderOf } from '../intake/folder.ts'
import { type Season, simulate } from '../simulator/simulate.ts'

let house: House
let season: Season

beforeAll(async () => {
  season = simulate({
    seed: 77,
    layout: 'canonical',
    days: 70,
    aircraft: 3,
    dropsPerDay: 6,
    releaseNoisePct: 3,
    traces: 0.5,
    assessments: 0.5,
    contracts: false,
    drifts: [{ tank: 0, shape: 'step', size_pct: -8, from_share: 0.5, adjusted_share: 0.8 }],
  })
  house = await House.open()
  await house.ingest(await folderOf(Object.fromEntries(season.files.map((file) => [file.path, file.bytes]))))
})
afterAll(() => house.close())

test('every trace is read and finds its drop; full loads within 0.15 s and 3 %', async () => {
  const rows = await house.rows<Record<string, number | string | null>>('traces')
  const truth = season.truth.traces
  expect(truth.length).toBeGreaterThan(20)
  expect(rows.length).toBe(truth.length)
  const capacity = new Map(season.truth.world.tanks.map((tank) => [tank.serial, tank.capacity_gal]))
  let full = 0
  for (const want of truth) {
    const row = rows.find((one) => one.record === want.record && one.aircraft === want.aircraft)!
    expect(row.tank, want.record).toBe(want.tank)
    expect(row.drop, want.record).not.toBeNull()
    expect(Math.abs(Number(row.trace_gal) / want.volume_gal - 1), want.record).toBeLessThan(0.05)
    if (want.volume_gal < 0.9 * capacity.get(want.tank)!) continue
    full++
    expect(Math.abs(Number(row.evacuation_s) - want.evacuation_s), want.record).toBeLessThan(0.15)
    expect(Math.abs(Number(row.mean_flow_gal_s) / want.mean_flow_gal_s - 1), want.record).toBeLessThan(0.03)
  }
  expect(full).toBeGreaterThan(3)
})

test('outcomes by objective are those that observers gave, unknowns apart', async () => {
  const rows = await house.rows<Record<string, number | string>>('outcome-rates')
  const given = season.truth.assessments
  expect(given.length).toBeGreaterThan(50)
  for (const row of rows) {
    const of = given.filter((one) => one.objective === row.group_name)
    expect(row).toMatchObject({
      assessed: of.length,
      met_fire: of.filter((one) => one.met_fire === 'yes').length,
      effective: of.filter((one) => one.effective === 'yes').length,
      not_effective: of.filter((one) => one.effective === 'no').length,
    })
  }
  expect(rows.reduce((sum, row) => sum + Number(row.assessed), 0)).toBe(given.length)
})

test('assessments belong to the drops that they were made of', async () => {
  const rows = await house.warehouse.rows<{
    assessed_at: string
    aircraft: string
    dropped_at: string | null
  }>(
    'SELECT a.assessed_at, a.aircraft, d.dropped_at FROM effectiveness.assessment a LEFT JOIN ledger."drop" d ON d."drop" = a."drop"',
  )
  const drops = new Map(season.truth.drops.map((drop) => [drop.id, drop.dropped_at]))
  const wrong = season.truth.assessments.filter((one) => {
    const row = rows.find((other) => other.assessed_at === one.assessed_at && other.aircraft === one.aircraft)
    return row?.dropped_at !== drops.get(one.drop)
  })
  expect(wrong.length / season.truth.assessments.length).toBeLessThan(0.02)
})

test('the tank that drifts is found, and that its adjustment helped', async () => {
  const [drift] = season.truth.drifts
  const alarms = await house.rows<Record<string, string | null>>('drift-alarms')
  const alarm = alarms.find((one) => one.tank === drift!.tank)!
  expect(alarm).toMatchObject({ direction: 'low', adjusted_at: drift!.adjusted_at })
  const low = Date.parse(alarm.change_low_at!)
  const high = Date.parse(alarm.change_high_at!)
  expect(low).toBeLessThanOrEqual(Date.parse(drift!.from_at!))
  expect(high).toBeGreaterThanOrEqual(Date.parse(drift!.from_at!))
  const effects = await house.rows<Record<string, string | number>>('adjustment-effect')
  expect(effects.find((one) => one.tank === drift!.tank)).toMatchObject({ verdict: 'closer to the setting' })
})

test('every fire drop has a row of coverage for its fuel', async () => {
  const rows = await house.rows<{ drops: number; gallons: number }>('coverage-for-fuel')
  const [{ drops, gallons }] = (await house
    .rows<{ drops: number; gallons: number }>('volume-by-purpose')
    .then((all) => all.filter((row) => (row as unknown as { purpose: string }).purpose === 'fire'))) as [
    { drops: number; gallons: number },
  ]
  expect(rows.reduce((sum, row) => sum + row.drops, 0)).toBe(drops)
  expect(rows.reduce((sum, row) => sum + row.gallons, 0)).toBeCloseTo(gallons, 5)
})

type Cells = Record<string, string | number | boolean | null>

test('the overview of outcomes is what each grouping gives by itself', async () => {
  const all = await house.rows<Cells>('outcome-overview')
  for (const by of ['objective', 'class', 'fuel', 'coverage', 'wind', 'height']) {
    const own = all.filter((row) => row.by === by).map(({ by: _, ...row }) => row)
    expect(own, by).toEqual(await house.rows<Cells>('outcome-rates', `by=${by}`))
  }
})

test('charts are summed up tank by tank as they stand, drop by drop', async () => {
  const points = await house.rows<Cells>('control-chart')
  const tanks = await house.rows<Cells>('control-summary')
  expect(tanks.map((row) => row.tank).sort()).toEqual([...new Set(points.map((row) => row.tank))].sort())
  for (const row of tanks) {
    const own = points.filter((point) => point.tank === row.tank)
    const alarmed = new Set<unknown>()
    const watched = own.filter((point) => {
      if (point.ewma_pct === null || alarmed.has(point.run)) return false
      if (point.is_alarm) alarmed.add(point.run)
      return true
    })
    expect(row, String(row.tank)).toMatchObject({
      drops: own.length,
      watched: watched.length,
      alarms: own.filter((point) => point.is_alarm).length,
      latest_at: own.at(-1)!.dropped_at,
      latest_pct: own.at(-1)!.ewma_pct,
    })
  }
  const drifted = season.truth.drifts[0]!.tank
  expect(tanks.find((row) => row.tank === drifted)).toMatchObject({ runs: 2, stands: false })
})

test('releases before and after an adjustment are summed up from the traces', async () => {
  const traces = (await house.rows<Cells>('traces')).filter((row) => row.status === 'read' && !row.is_cut)
  const runs = await house.rows<Cells>('trace-runs')
  expect(runs.reduce((sum, row) => sum + Number(row.traces), 0)).toBe(traces.filter((row) => row.tank).length)
  for (const row of runs) {
    const own = traces.filter((one) =>
      ['tank', 'fraction', 'coverage_level', 'run'].every((name) => one[name] === row[name]),
    )
    expect(own.length).toBe(row.traces)
    expect(Number(row.evacuation_s)).toBeCloseTo(
      own.reduce((sum, one) => sum + Number(one.evacuation_s), 0) / own.length,
      9,
    )
    expect(row.run_from_at).toBe(row.run === 1 ? null : season.truth.drifts[0]!.adjusted_at)
  }
})

test('observers see less line than the bound, and a fire is named', async () => {
  const rows = await house.rows<Cells>('line-built')
  const both = rows.filter((row) => row.observed_of_bound !== null)
  expect(both.length).toBeGreaterThan(3)
  for (const row of both) expect(Number(row.observed_of_bound)).toBeLessThan(1)
  for (const row of rows.filter((one) => one.group_name !== 'unattributed')) expect(row.name).not.toBeNull()
})
