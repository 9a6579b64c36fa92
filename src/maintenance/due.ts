import type { Params, Warehouse } from '../warehouse/index.ts'
import { dayNumber } from './day.ts'
import { type DueRow, dueRows, markGoverning } from './due-row.ts'
import { Forecast, HORIZON_DAYS } from './forecast.ts'
import { type FleetHistory, readHistory } from './history.ts'
import { type Limit, readLimits } from './limit.ts'
import { dateWhatHasPassed } from './passed.ts'
import { plannedSeasons } from './season-windows.ts'

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
  const forecast = await forecastOf(warehouse, history, day, seed)
  const rows = dueRows(limits, day, forecast)
  await dateWhatHasPassed(warehouse, rows, day, history)
  markGoverning(rows)
  return { asOf: day, seed, limits, rows, forecast }
}

async function forecastOf(
  warehouse: Warehouse,
  history: FleetHistory | null,
  day: number,
  seed: number,
): Promise<Forecast> {
  return new Forecast(history, {
    lastDay: day,
    seed,
    windows: await plannedSeasons(warehouse, day, HORIZON_DAYS),
  })
}

/** The futures that the due list of a day is made from. */
export async function dueForecast(warehouse: Warehouse, { asOf, tank, seed }: DueOptions): Promise<Forecast> {
  await askFor(warehouse, asOf, tank)
  const day = dayNumber((await warehouse.value<string>('SELECT as_of FROM due_ask'))!)
  return forecastOf(warehouse, await readHistory(warehouse, day), day, seed)
}

/** Sets the day and tank that the stages of this room read. */
export async function askFor(warehouse: Warehouse, asOf: string | null, tank: string | null): Promise<void> {
  await warehouse.run(
    'CREATE OR REPLACE TEMP TABLE due_ask AS SELECT coalesce($as_of::DATE, current_date) AS as_of, $tank::VARCHAR AS wanted_tank',
    { as_of: asOf, tank },
  )
}

/** What `as_of`, `tank` and `seed` ask for. */
export function dueOptions(params: Params): DueOptions {
  return {
    asOf: (params.as_of as string | null | undefined) ?? null,
    tank: (params.tank as string | null | undefined) ?? null,
    seed: Number(params.seed ?? 1),
  }
}
