import { median } from '../statistics/index.ts'
import type { Params, Warehouse } from '../warehouse/index.ts'
import { type CycleTime, cycleTime, gallonsPerHour, known, type Turnarounds } from './cycle-time.ts'

const band_nm = 10
const parts = [
  'turnaround_min',
  'hold_min',
  'fill_min',
  'out_min',
  'scene_min',
  'back_min',
  'gallons',
  'distance_nm',
] as const

/** Fills `asked.base_productivity` and `asked.productivity_curve` for the turnarounds that the params choose. */
export async function prepareProductivity(warehouse: Warehouse, params: Params): Promise<void> {
  const chosen = Object.fromEntries(
    ['season', 'from', 'to', 'aircraft', 'tank', 'base'].map((name) => [name, params[name] ?? null]),
  )
  const bases = await readTurnarounds(warehouse, chosen)
  const rows = bases.map((one) => ({ one, cycle: cycleTime(one) }))
  await warehouse.transaction(async () => {
    await warehouse.run('DELETE FROM asked.base_productivity; DELETE FROM asked.productivity_curve')
    await appendRows(
      warehouse,
      'asked.base_productivity',
      rows.map(({ one, cycle }) => summary(one, cycle)),
    )
    await appendRows(
      warehouse,
      'asked.productivity_curve',
      rows.flatMap(({ one, cycle }) => curve(one, cycle)),
    )
  })
}

type Row = Record<string, string | number | null>

async function appendRows(warehouse: Warehouse, table: string, rows: readonly Row[]): Promise<void> {
  const names = Object.keys(rows[0] ?? {})
  await warehouse.append(
    table,
    Object.fromEntries(names.map((name) => [name, rows.map((row) => row[name]!)])),
  )
}

async function readTurnarounds(warehouse: Warehouse, params: Params): Promise<Turnarounds[]> {
  const all = await warehouse.columns(await warehouse.readStage('effectiveness/turnarounds'), params)
  const names = all.text('base')
  const bases: Turnarounds[] = []
  for (let from = 0; from < all.count; ) {
    let to = from
    while (to < all.count && names[to] === names[from]) to++
    const columns = Object.fromEntries(parts.map((name) => [name, all.numbers(name).subarray(from, to)]))
    bases.push({ base: names[from]!, ...columns } as unknown as Turnarounds)
    from = to
  }
  return bases
}

/** Gallons delivered by hours of work, holding left out; null where no turnaround has a known time. */
function observedPerHour(one: Turnarounds, isIn: (index: number) => boolean): number | null {
  let gallons = 0
  let minutes = 0
  for (let i = 0; i < one.gallons.length; i++) {
    const worked = one.turnaround_min[i]! - (Number.isNaN(one.hold_min[i]!) ? 0 : one.hold_min[i]!)
    if (!isIn(i) || !(worked > 0)) continue
    gallons += one.gallons[i]!
    minutes += worked
  }
  return minutes > 0 ? (60 * gallons) / minutes : null
}

function summary(one: Turnarounds, cycle: CycleTime | null): Row {
  const middle = (name: (typeof parts)[number]): number | null => median(known(one[name]))
  const distance = middle('distance_nm')
  const at = (distance_nm: number, shorter = 0): number | null =>
    cycle && distance !== null ? gallonsPerHour(cycle, distance_nm, shorter) : null
  const nearer = distance === null ? 0 : Math.max(0, distance - band_nm)
  return {
    base: one.base,
    turnarounds: one.turnaround_min.length,
    distance_nm: distance,
    gallons_per_turnaround: one.gallons.reduce((sum, gallons) => sum + gallons, 0) / one.gallons.length,
    gallons_per_hour: observedPerHour(one, () => true),
    fill_min: middle('fill_min'),
    out_min: middle('out_min'),
    scene_min: middle('scene_min'),
    back_min: middle('back_min'),
    hold_min: middle('hold_min'),
    curve_gallons_per_hour: at(distance ?? 0),
    nearer_gallons_per_hour: at(nearer),
    faster_gallons_per_hour: at(distance ?? 0, Math.min(5, cycle?.fill_min ?? 0)),
    fixed_min: cycle?.fixed_min ?? null,
    speed_kt: cycle ? 120 / cycle.minutes_per_nm : null,
    speed_low_kt: cycle?.high_per_nm ? 120 / cycle.high_per_nm : null,
    speed_high_kt: cycle?.low_per_nm && cycle.low_per_nm > 0 ? 120 / cycle.low_per_nm : null,
    fitted: cycle?.fitted ?? 0,
  }
}

/** One row per 10 nautical miles, from next to the base to the farthest turnaround. */
function curve(one: Turnarounds, cycle: CycleTime | null): Row[] {
  const far = known(one.distance_nm).reduce((most, distance) => Math.max(most, distance), 0)
  const bands = Math.floor(far / band_nm) + 1
  return Array.from({ length: bands }, (_, band) => {
    const isIn = (index: number): boolean => Math.floor(one.distance_nm[index]! / band_nm) === band
    const distance = (band + 0.5) * band_nm
    return {
      base: one.base,
      distance_nm: distance,
      gallons_per_hour: cycle ? gallonsPerHour(cycle, distance) : null,
      faster_gallons_per_hour: cycle
        ? gallonsPerHour(cycle, distance, Math.min(5, cycle.fill_min ?? 0))
        : null,
      turnarounds: one.distance_nm.reduce((count, _distance, index) => count + (isIn(index) ? 1 : 0), 0),
      observed_gallons_per_hour: observedPerHour(one, isIn),
    }
  })
}
