import type { Warehouse } from '../warehouse/index.ts'
import { SLACK } from './due-point.ts'
import type { DueRow } from './due-row.ts'
import { courseName, type FleetHistory } from './history.ts'

/** A counted limit that has been reached is due on the day that reached it. */
export async function dateWhatHasPassed(
  warehouse: Warehouse,
  rows: readonly DueRow[],
  asOf: number,
  history: FleetHistory | null,
): Promise<void> {
  const passed = rows.filter((row) => row.standing?.dueDay === null && row.remaining! <= SLACK)
  const open: Open[] = []
  for (const row of passed) {
    const found = history ? dayByHistory(row, history, asOf) : { before: null }
    if ('before' in found) open.push({ row, before: found.before })
    else row.days = [found.day, found.day, found.day]
  }
  if (open.length > 0) await dateByEvents(warehouse, open, asOf)
}

/** A row that only its events can date, and the day before which they do, where that is known. */
interface Open {
  row: DueRow
  before: number | null
}

/**
 * Counts back from today's total over the days that the item has certainly spent in its place; where the limit was reached
 * before these, that is told. A day's margin is left for zones: the place and a baseline have their times in UTC.
 */
function dayByHistory(
  row: DueRow,
  history: FleetHistory,
  asOf: number,
): { day: number } | { before: number | null } {
  const { limit, standing } = row
  const name = courseName(limit.counter, limit.position)
  const matrix = history.matrices.get(name)
  const unit = history.rowOf.get(limit.tank)
  if (!matrix || unit === undefined || history.lent.get(name)?.has(unit)) return { before: null }
  const first = Math.max(history.firstDay, limit.sinceDay === null ? -Infinity : limit.sinceDay + 2)
  let reached = standing!.total
  for (let day = asOf; day >= first; day--) {
    const use = matrix[unit * history.days + day - history.firstDay]!
    if (Number.isNaN(use)) return { before: day + 1 }
    if (reached - use < standing!.limitAt - SLACK) return { day }
    reached -= use
  }
  return { before: first > asOf ? null : first }
}

async function dateByEvents(warehouse: Warehouse, open: readonly Open[], asOf: number): Promise<void> {
  await warehouse.run(
    'CREATE OR REPLACE TEMP TABLE due_passed(limit_no INTEGER, item VARCHAR, counter VARCHAR, limit_at DOUBLE, before_day DATE)',
  )
  const rows = open.map(({ row }) => row)
  await warehouse.append('temp.due_passed', {
    limit_no: rows.map((row) => row.limit.limitNo),
    item: rows.map((row) => row.limit.item),
    counter: rows.map((row) => row.limit.counter),
    limit_at: rows.map((row) => row.standing!.limitAt),
    before_day: open.map(({ before }) => before),
  })
  const read = await warehouse.columns(await warehouse.readStage('maintenance/passed'))
  const days = new Map(
    Array.from({ length: read.count }, (_, at) => [read.numbers('limit_no')[at]!, read.numbers('day')[at]!]),
  )
  for (const row of rows) {
    const found = days.get(row.limit.limitNo)
    const day = found === undefined || Number.isNaN(found) ? asOf : found
    row.days = [day, day, day]
  }
}
