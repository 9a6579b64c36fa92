import type { Params, Warehouse } from '../warehouse/index.ts'
import { dayNumber } from './day.ts'
import { SLACK } from './due-point.ts'
import { type DueRow, dueRows, markGoverning } from './due-row.ts'
import { Forecast, HORIZON_DAYS } from './forecast.ts'
import { readHistory } from './history.ts'
import { type Limit, readLimits } from './limit.ts'
import { plannedSeasons } from './season-windows.ts'
import { writeDue } from './write-due.ts'

export interface DueOptions {
  /** Operating day, `YYYY-MM-DD`; today when null. */
  asOf: string | null
  /** One tank with what is fitted to it, or all. */
  tank: string | null
  seed: number
}

export interface DueList {
  asOf: number
  seed: number
  limits: Limit[]
  rows: DueRow[]
  forecast: Forecast
}

/** The due list of a day: what is counted, what was done, where each limit stands and when it will be reached. */
export async function dueList(warehouse: Warehouse, { asOf, tank, seed }: DueOptions): Promise<DueList> {
  await askFor(warehouse, asOf, tank)
  const day = dayNumber((await warehouse.value<string>('SELECT as_of FROM due_ask'))!)
  for (const stage of ['limits', 'points', 'counts'])
    await warehouse.run(await warehouse.readStage(`maintenance/${stage}`))
  const limits = await readLimits(warehouse)
  const history = limits.length > 0 ? await readHistory(warehouse, day) : null
  const windows = await plannedSeasons(warehouse, day, HORIZON_DAYS)
  const forecast = new Forecast(history, { lastDay: day, seed, windows })
  const rows = dueRows(limits, day, forecast)
  await dateWhatHasPassed(warehouse, rows, day)
  markGoverning(rows)
  return { asOf: day, seed, limits, rows, forecast }
}

/** Sets the day and tank that the stages of this room read. */
export async function askFor(warehouse: Warehouse, asOf: string | null, tank: string | null): Promise<void> {
  await warehouse.run(
    'CREATE OR REPLACE TEMP TABLE due_ask AS SELECT coalesce($as_of::DATE, current_date) AS as_of, $tank::VARCHAR AS wanted_tank',
    { as_of: asOf, tank },
  )
}

/** A counted limit that has been reached is due on the day that reached it. */
async function dateWhatHasPassed(warehouse: Warehouse, rows: readonly DueRow[], asOf: number): Promise<void> {
  const passed = rows.filter((row) => row.standing?.dueDay === null && row.remaining! <= SLACK)
  if (passed.length === 0) return
  await warehouse.run(
    'CREATE OR REPLACE TEMP TABLE due_passed(limit_no INTEGER, item VARCHAR, counter VARCHAR, limit_at DOUBLE)',
  )
  await warehouse.append('temp.due_passed', {
    limit_no: passed.map((row) => row.limit.limitNo),
    item: passed.map((row) => row.limit.item),
    counter: passed.map((row) => row.limit.counter),
    limit_at: passed.map((row) => row.standing!.limitAt),
  })
  const read = await warehouse.columns(await warehouse.readStage('maintenance/passed'))
  const days = new Map(
    Array.from({ length: read.count }, (_, at) => [read.numbers('limit_no')[at]!, read.numbers('day')[at]!]),
  )
  for (const row of passed) {
    const found = days.get(row.limit.limitNo)
    const day = found === undefined || Number.isNaN(found) ? asOf : found
    row.days = [day, day, day]
  }
}

/** What `as_of`, `tank` and `seed` ask for. */
export function dueOptions(params: Params): DueOptions {
  return {
    asOf: (params.as_of as string | null | undefined) ?? null,
    tank: (params.tank as string | null | undefined) ?? null,
    seed: Number(params.seed ?? 1),
  }
}

/** Fills `asked.due` for `as_of`, `tank` and `seed`; what `needs: due` names. */
export async function prepareDue(warehouse: Warehouse, params: Params): Promise<void> {
  await writeDue(warehouse, await dueList(warehouse, dueOptions(params)))
}
