import type { Params, Warehouse } from '../warehouse/index.ts'
import { dayText } from './day.ts'
import { dueList, dueOptions } from './due.ts'
import { type DueRow, dueRows, markGoverning } from './due-row.ts'
import { Forecast, HORIZON_DAYS } from './forecast.ts'
import { readHistory } from './history.ts'
import { PlanProblem, readPlannedSwaps, readPlannedWindows, readPlannedWork } from './plan.ts'
import { type PlannedRow, plannedRow, type Step } from './planned-row.ts'
import { plannedSeasons, repeated } from './season-windows.ts'

/**
 * Fills `asked.due_planned`: the due list of `as_of` and `tank` beside what it would be with `per_day` openings a day in the
 * season, other season days (`window`), planned work (`done`) and new parts (`swap`). The account is not touched.
 * @throws PlanProblem for a plan that cannot be read or that names what is not on the list.
 */
export async function prepareWhatIf(warehouse: Warehouse, params: Params): Promise<void> {
  const text = (name: string): string | null => (params[name] as string | null | undefined) ?? null
  const options = dueOptions(params)
  const perDay = params.per_day === null || params.per_day === undefined ? null : Number(params.per_day)
  if (perDay !== null && !(perDay >= 0))
    throw new PlanProblem(`per_day=${perDay} is below 0; give openings a day`)
  const done = readPlannedWork(text('done'))
  const swaps = readPlannedSwaps(text('swap'))
  const planned = readPlannedWindows(text('window'))
  const list = await dueList(warehouse, options)

  let { forecast } = list
  let { rows } = list
  if (planned.length > 0 && planned.every((window) => window.to <= list.asOf))
    throw new PlanProblem(`window=${text('window')} is over by ${dayText(list.asOf)}; give a season to come`)
  if (perDay !== null || planned.length > 0) {
    const history = await readHistory(warehouse, list.asOf)
    const windows =
      planned.length > 0
        ? repeated(planned, list.asOf, HORIZON_DAYS)
        : await plannedSeasons(warehouse, list.asOf, HORIZON_DAYS)
    forecast = new Forecast(history, {
      lastDay: list.asOf,
      seed: options.seed,
      windows,
      ...(perDay === null ? {} : { perDay: Math.max(perDay, 1e-6) }),
    })
    const passed = new Map(list.rows.map((row) => [row.limit.limitNo, row]))
    rows = dueRows(list.limits, list.asOf, forecast).map((row) =>
      row.remaining !== null && row.remaining <= 0
        ? { ...row, days: passed.get(row.limit.limitNo)!.days }
        : row,
    )
  }
  const steps = new Map<DueRow, Step>()
  for (const { task, item, day } of done) {
    const found = rows.filter((row) => row.limit.task === task && row.limit.item === item)
    if (found.length === 0)
      throw new PlanProblem(`done: no task ${task} stands on the due list of ${item}; see inspections-due`)
    for (const row of found) steps.set(row, { kind: 'done', day })
  }
  for (const { item, day } of swaps) {
    const found = rows.filter((row) => row.limit.item === item && row.limit.kind !== 'tank')
    if (found.length === 0)
      throw new PlanProblem(`swap: no fitted part ${item} stands on the due list; see inspections-due`)
    for (const row of found) steps.set(row, { kind: 'swap', day })
  }
  const after = rows.map((row): PlannedRow => {
    const step = steps.get(row)
    return step
      ? plannedRow({ ...row, governs: false }, step, list.asOf, forecast)
      : { row: { ...row, governs: false }, plan: null, chanceBefore: null }
  })
  markGoverning(after.map((one) => one.row))
  await write(warehouse, { before: list.rows, planned: after, asOf: list.asOf, seed: options.seed, params })
}

interface Written {
  before: readonly DueRow[]
  planned: readonly PlannedRow[]
  asOf: number
  seed: number
  params: Params
}

async function write(warehouse: Warehouse, { before, planned, asOf, seed, params }: Written): Promise<void> {
  const of = <T>(pick: (row: DueRow, one: PlannedRow, before: DueRow) => T): T[] =>
    planned.map((one, at) => pick(one.row, one, before[at]!))
  await warehouse.transaction(async () => {
    await warehouse.run('DELETE FROM asked.due_planned')
    await warehouse.append('asked.due_planned', {
      task: of((row) => row.limit.task),
      title: of((row) => row.limit.title),
      item: of((row) => row.limit.item),
      kind: of((row) => row.limit.kind),
      tank: of((row) => row.limit.tank),
      position: of((row) => row.limit.position),
      counter: of((row) => row.limit.counter),
      plan: of((_, one) => one.plan),
      limit_at: of((row) => row.standing?.limitAt ?? null),
      total: of((row) => row.standing?.total ?? null),
      remaining: of((row) => row.remaining),
      due_on_p10: of((row) => row.days[0]),
      due_on_p50: of((row) => row.days[1]),
      due_on_p90: of((row) => row.days[2]),
      status: of((row) => row.status),
      governs: of((row) => row.governs),
      reason: of((row) => row.reason),
      chance_due_before: of((_, one) => one.chanceBefore),
      now_limit_at: of((_, __, now) => now.standing?.limitAt ?? null),
      now_remaining: of((_, __, now) => now.remaining),
      now_due_on_p10: of((_, __, now) => now.days[0]),
      now_due_on_p50: of((_, __, now) => now.days[1]),
      now_due_on_p90: of((_, __, now) => now.days[2]),
      now_status: of((_, __, now) => now.status),
      as_of: of(() => asOf),
      seed: of(() => seed),
      per_day: of(() => (params.per_day as number | null | undefined) ?? null),
      window: of(() => (params.window as string | null | undefined) ?? null),
      done: of(() => (params.done as string | null | undefined) ?? null),
      swap: of(() => (params.swap as string | null | undefined) ?? null),
    })
  })
}
