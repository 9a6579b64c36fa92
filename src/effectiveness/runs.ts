import type { DriftChart } from '../statistics/index.ts'
import type { Warehouse } from '../warehouse/index.ts'

/** Measured settings of one tank between two adjustments, in time order. */
export interface Run {
  tank: string
  /** 1 from the begin of records, one more with each adjustment. */
  run: number
  /** The adjustment that began it, UTC; null for the first. */
  started_ms: number | null
  /** The adjustment that ended it; null while it goes on. */
  ended_ms: number | null
  drop: string[]
  aircraft: string[]
  season: string[]
  dropped_ms: Float64Array
  /** Operating days since 1970-01-01. */
  day: Float64Array
  error_pct: Float64Array
}

/** The chart of one run; null values for a run too short to have limits. */
export interface ChartedRun {
  run: Run
  chart: DriftChart
}

/** The runs of every tank in `changed_tank`, by tank and time. Adjustments of one moment count as one; a run without drops is left out. */
export async function readRuns(warehouse: Warehouse): Promise<Run[]> {
  const drops = await warehouse.columns(
    `SELECT tank, "drop", aircraft, season, dropped_ms, day, error_pct FROM current_setting SEMI JOIN changed_tank USING (tank)
     ORDER BY tank, dropped_ms, "drop"`,
  )
  const adjusted = await adjustments(warehouse)
  const tanks = drops.text('tank')
  const times = drops.numbers('dropped_ms')
  const runs: Run[] = []
  for (let from = 0; from < drops.count; ) {
    const tank = tanks[from]!
    const ends = adjusted.get(tank) ?? []
    const run = ends.filter((at) => at <= times[from]!).length
    const end = ends[run] ?? null
    let to = from
    while (to < drops.count && tanks[to] === tank && (end === null || times[to]! < end)) to++
    const part = (name: string): string[] => drops.text(name).slice(from, to).map(String)
    runs.push({
      tank,
      run: run + 1,
      started_ms: run > 0 ? ends[run - 1]! : null,
      ended_ms: end,
      drop: part('drop'),
      aircraft: part('aircraft'),
      season: part('season'),
      dropped_ms: times.subarray(from, to),
      day: drops.numbers('day').subarray(from, to),
      error_pct: drops.numbers('error_pct').subarray(from, to),
    })
    from = to
  }
  return runs
}

async function adjustments(warehouse: Warehouse): Promise<Map<string, number[]>> {
  const rows = await warehouse.rows<{ tank: string; adjusted_ms: number }>(
    `SELECT DISTINCT tank, epoch_ms(adjusted_at) AS adjusted_ms FROM obs.adjustment WHERE fate = 'accepted' ORDER BY tank, adjusted_ms`,
  )
  const found = new Map<string, number[]>()
  for (const { tank, adjusted_ms } of rows) found.set(tank, [...(found.get(tank) ?? []), adjusted_ms])
  return found
}
